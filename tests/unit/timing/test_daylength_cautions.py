"""Daylengths by almanac, from memory: 47 N has 15 h 53 min at the June solstice and 12 h 10 min at the equinox."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.timing.daylength_cautions import daylength_cautions

ASK = "(photoperiod: populations evolve; ask those who know yours)"
JUNE = dt.date(2027, 6, 1)


def closing(*days):
    dates = np.full((4, len(days)), np.datetime64("NaT", "D"))
    dates[3] = np.array(days, dtype="datetime64[D]")
    return dates


def said(latitude, day, critical=14.65):
    return str(daylength_cautions(critical, np.array([latitude]), closing(day), JUNE)[0])


def test_south_of_38_degrees_the_longest_day_is_hardly_long_enough():
    """Diorhabda establishes poorly south of 38 N at a critical daylength of 14 h 39 min (Bean et al. 2007)."""
    assert (
        said(36.0, "NaT")
        == f"the longest day at 36.0 degrees has 14.61 hours, less than the critical 14.65 {ASK}"
    )
    assert said(38.0, "NaT") == ""


def test_a_window_that_closes_in_short_days_is_said_with_the_day():
    text = said(45.0, "2027-09-01")
    assert text.startswith("on 1 September the day at 45.0 degrees has 13.2")
    assert text.endswith(f"hours, less than the critical 14.65 {ASK}")
    assert said(45.0, "2027-07-01") == ""


def test_the_southern_hemisphere_has_its_longest_day_in_december():
    assert said(-45.0, "2027-01-05") == ""
    assert said(-45.0, "2027-07-01").startswith("on 1 July the day at -45.0 degrees has 8.8")
    assert said(-30.0, "NaT").startswith("the longest day at -30.0 degrees has 14.0")


def test_the_last_known_date_counts_where_no_closing_is_known():
    dates = np.full((4, 1), np.datetime64("NaT", "D"))
    dates[1, 0] = np.datetime64("2027-09-01")
    assert daylength_cautions(14.65, np.array([45.0]), dates, JUNE)[0].startswith("on 1 September")


@pytest.mark.parametrize("latitude", [np.nan])
def test_without_a_latitude_nothing_is_said(latitude):
    assert said(latitude, "2027-09-01") == ""
