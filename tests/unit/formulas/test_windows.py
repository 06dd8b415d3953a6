"""Windows by the calendar, by hand."""

import numpy as np
import pytest

from geo_scout.formulas.windows import window_by_calendar

NAN = np.nan


def test_a_calendar_window_comes_later_uphill_and_earlier_downhill():
    """Hopkins 1918: four days for 400 feet, 121.92 m."""
    window = window_by_calendar(
        [100, 110, 120, 130], [500.0, 621.92, 378.08, NAN], 500.0, days_per_100_m=4 / 1.2192
    )
    np.testing.assert_allclose(window.day, [[d, d + 4, d - 4, NAN] for d in (100, 110, 120, 130)], atol=1e-9)
    np.testing.assert_array_equal(window.known, [[True, True, True, False]] * 4)


@pytest.mark.parametrize("days", [[100, 110, 120], [100, 90, 120, 130]])
def test_days_that_are_no_window_are_refused(days):
    with pytest.raises(ValueError, match="scout, opens, peaks, closes"):
        window_by_calendar(days, [0.0], 0.0, 3.0)


def test_a_moment_nobody_knows_stays_unknown():
    window = window_by_calendar([None, 110, None, 130], [500.0], 500.0, 3.0)
    assert window.day[:, 0].tolist() == pytest.approx([NAN, 110.0, NAN, 130.0], nan_ok=True)
    assert window.known[:, 0].tolist() == [False, True, False, True]
