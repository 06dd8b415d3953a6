"""Daylength at the ends of the earth and of its arguments."""

import numpy as np
import pytest

from geo_scout.formulas.daylength import daylength_hours

SOLSTICES = np.array(["2026-06-21", "2026-12-21"], dtype="datetime64[D]")


def test_the_poles_have_six_months_of_each():
    assert daylength_hours(90.0, SOLSTICES).tolist() == [24.0, 0.0]
    assert daylength_hours(-90.0, SOLSTICES).tolist() == [0.0, 24.0]


def test_the_equator_has_twelve_hours_and_the_time_the_disc_takes():
    """Sun at -0.8333 degrees at both ends: 2 x 0.8333 / (15 cos 23.44 deg) hours beyond twelve at the solstice."""
    expected = 12 + 2 * 0.8333 / (15 * np.cos(np.radians(23.44)))
    assert daylength_hours(0.0, SOLSTICES) == pytest.approx(expected, abs=0.001)
    assert daylength_hours(0.0, SOLSTICES, sun_altitude_deg=0.0) == pytest.approx(12.0, abs=1e-9)


def test_sites_and_days_broadcast():
    table = daylength_hours(np.array([[30.0], [60.0], [-60.0]]), SOLSTICES)
    assert table.shape == (3, 2)
    assert table[1, 0] == pytest.approx(table[2, 1], abs=0.02)
    assert table[1, 0] > table[0, 0] > 12 > table[0, 1] > table[1, 1]


def test_missing_places_and_dates_stay_missing():
    dates = np.array(["2026-06-21", "NaT"], dtype="datetime64[D]")
    found = daylength_hours(np.array([[45.0], [np.nan]]), dates)
    np.testing.assert_array_equal(np.isnan(found), [[False, True], [True, True]])


def test_a_latitude_beyond_the_pole_is_refused():
    with pytest.raises(ValueError, match="beyond a pole"):
        daylength_hours([10.0, 91.0], SOLSTICES)
