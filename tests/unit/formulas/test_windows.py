"""The four kinds of window, by hand."""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.sums import Reached, day_reached
from geo_scout.formulas.windows import (
    window_by_calendar,
    window_by_heat,
    window_by_host_stage,
    window_sums,
    window_unknown,
)

NAN = np.nan


def test_heat_opens_and_closes_windows():
    # 10 degree-days a day at the first site, 4 at the second: 200, 250, 300 and 600 in 50 days
    daily = np.tile([10.0, 4.0], (50, 1))
    window = window_by_heat(day_reached(daily, window_sums(200, 250, 300, 600), whole_days=True))
    assert window.kind == "degree_days"
    np.testing.assert_array_equal(window.day, [[19, 49], [24, NAN], [29, NAN], [NAN, NAN]])
    assert window.known.all()


def test_scouting_may_start_days_before_the_opening():
    daily = np.tile([10.0, 4.0], (50, 1))
    window = window_by_heat(
        day_reached(daily, window_sums(None, 200, None, 300), whole_days=True), scout_days_before=14
    )
    np.testing.assert_array_equal(window.day, [[5, 35], [19, 49], [NAN, NAN], [29, NAN]])
    np.testing.assert_array_equal(window.known, [[True, True], [True, True], [False, False], [True, True]])


def test_an_opening_hidden_by_a_gap_hides_the_scouting_start():
    reached = Reached(np.full((4, 1), NAN), np.full((4, 1), False))
    window = window_by_heat(reached, scout_days_before=7)
    assert np.isnan(window.day).all()
    assert not window.known.any()


def test_scouting_after_the_opening_is_refused():
    with pytest.raises(ValueError, match="3 days after the opening"):
        window_by_heat(Reached(np.zeros((4, 1)), np.full((4, 1), True)), scout_days_before=-3)


def test_three_moments_are_refused():
    with pytest.raises(ValueError, match=r"\(4, sites\) is needed"):
        window_by_heat(Reached(np.zeros((3, 1)), np.full((3, 1), True)), scout_days_before=3)


@pytest.mark.parametrize(
    ("sums", "message"),
    [((100, 90, 200, 300), "no lower than the one before"), ((-5, 90, None, 300), "negative")],
)
def test_sums_out_of_order_are_refused(sums, message):
    with pytest.raises(ValueError, match=message):
        window_sums(*sums)


def test_the_hosts_stage_carries_the_window_with_it():
    window = window_by_host_stage([160.0, 171.5, NAN], [-10, 0, None, 21])
    assert window.kind == "host_stage"
    np.testing.assert_array_equal(
        window.day, [[150, 161.5, NAN], [160, 171.5, NAN], [NAN, NAN, NAN], [181, 192.5, NAN]]
    )
    np.testing.assert_array_equal(window.known, ~np.isnan(window.day))


def test_a_calendar_window_comes_later_uphill_and_earlier_downhill():
    """Hopkins 1918: four days for 400 feet, 121.92 m."""
    window = window_by_calendar(
        [100, 110, 120, 130], [500.0, 621.92, 378.08, NAN], 500.0, days_per_100_m=4 / 1.2192
    )
    assert window.kind == "calendar"
    np.testing.assert_allclose(window.day, [[d, d + 4, d - 4, NAN] for d in (100, 110, 120, 130)], atol=1e-9)
    np.testing.assert_array_equal(window.known, [[True, True, True, False]] * 4)


@pytest.mark.parametrize("days", [[100, 110, 120], [100, 90, 120, 130]])
def test_days_that_are_no_window_are_refused(days):
    with pytest.raises(ValueError, match="scout, opens, peaks, closes"):
        window_by_calendar(days, [0.0], 0.0, 3.0)


def test_an_untimed_agent_has_no_days():
    window = window_unknown(3)
    assert (window.kind, window.day.shape) == ("unknown", (4, 3))
    assert np.isnan(window.day).all()
    assert not window.known.any()
