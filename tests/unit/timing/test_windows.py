import datetime as dt

import numpy as np
import pytest

from geo_scout.model.timing import CalendarWindow, HostStageWindow, WindowTable
from geo_scout.timing.windows import calendar_dates, site_windows
from tests.weather_frames import by_heat, from_day, heat, temperatures, weather

MAY = dt.date(2027, 5, 1)
CALENDAR = CalendarWindow(
    opens="06-10", peaks="06-20", closes="07-05", at_elevation_m=900.0, days_per_100m=3.0
)
STAGE = HostStageWindow(opens="first flowers", closes="seed set")


def words(dates, place=0):
    return [None if np.isnat(day) else str(day) for day in dates[:, place]]


def test_a_calendar_shifts_three_days_for_every_hundred_metres():
    """100 m up are 3 days later, 200 m down 6 earlier; scouting starts 14 days before."""
    dates, known = calendar_dates(CALENDAR, np.array([900.0, 1000.0, 700.0, np.nan]), MAY, 14)
    assert words(dates) == ["2027-05-27", "2027-06-10", "2027-06-20", "2027-07-05"]
    assert words(dates, 1) == ["2027-05-30", "2027-06-13", "2027-06-23", "2027-07-08"]
    assert words(dates, 2) == ["2027-05-21", "2027-06-04", "2027-06-14", "2027-06-29"]
    assert known.tolist() == [True, True, True, False]


def test_a_calendar_without_a_shift_needs_no_elevation():
    dates, known = calendar_dates(CalendarWindow(opens="06-10"), np.array([np.nan]), MAY, 14)
    assert words(dates) == ["2027-05-27", "2027-06-10", None, None]
    assert known.all()


def test_a_calendar_crosses_new_year():
    summer = CalendarWindow(scout="12-10", opens="12-20", peaks="01-05", closes="01-31")
    dates, _ = calendar_dates(summer, np.array([0.0]), dt.date(2026, 10, 1), 14)
    assert words(dates) == ["2026-12-10", "2026-12-20", "2027-01-05", "2027-01-31"]
    during, _ = calendar_dates(summer, np.array([0.0]), dt.date(2027, 1, 20), 14)
    assert words(during) == words(dates)


def test_scouting_before_a_window_that_opens_in_january_lies_in_december():
    dates, _ = calendar_dates(CalendarWindow(opens="01-05"), np.array([0.0]), dt.date(2026, 11, 1), 14)
    assert words(dates)[:2] == ["2026-12-22", "2027-01-05"]


def test_heat_goes_before_the_calendar_where_temperatures_are_known():
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    table = WindowTable(heat=heat(opens=95), calendar=CALENDAR, host_stage=STAGE)
    by_degree_days = site_windows(table, temperatures(record), MAY, 14)
    assert (by_degree_days.kind[0], words(by_degree_days.dates)[1]) == ("degree-days", "2027-06-10")
    by_calendar = site_windows(table, temperatures(), MAY, 14)
    assert (by_calendar.kind[0], words(by_calendar.dates)[1]) == ("calendar", "2027-06-13")
    assert by_calendar.note[0] == "no temperatures for the heat sums here"
    assert by_calendar.basis[0] == "calendar of the profile for 900 m, 3 days later for every 100 m up"
    assert by_calendar.words == by_degree_days.words == ("", "first flowers", "", "seed set")


def test_a_stage_gives_words_and_no_dates():
    found = site_windows(WindowTable(host_stage=STAGE), temperatures(), MAY, 14)
    assert (found.kind[0], found.note[0]) == ("host stage", "")
    assert np.isnat(found.dates).all()


def test_no_window_is_unknown_and_says_so():
    found = site_windows(WindowTable(), temperatures(), MAY, 14)
    assert (found.kind[0], found.note[0]) == ("unknown", "the profile has no window")


def test_without_elevation_a_shifted_calendar_is_not_known():
    found = site_windows(WindowTable(calendar=CALENDAR), temperatures(elevation_m=(np.nan,)), MAY, 14)
    assert found.kind[0] == "unknown"
    assert (
        found.note[0] == "the calendar window is for another elevation, and that of this place is not known"
    )


@pytest.mark.parametrize("place", [0, 1])
def test_places_without_normals_do_not_spoil_those_with(place):
    known = temperatures(elevation_m=(1000.0, 1000.0), normals_degc=20.0)
    known.tmin_degc[:, place] = np.nan
    found = site_windows(by_heat(opens=95), known, dt.date(2027, 1, 15), 14)
    assert found.kind.tolist() == ["unknown", "degree-days"][:: 1 if place == 0 else -1]
    assert words(found.dates, 1 - place)[1] == "2027-01-10"
