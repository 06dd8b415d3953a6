import datetime as dt

import numpy as np

from geo_scout.model.timing import CalendarWindow, WindowTable
from geo_scout.timing import next_where_closed, site_windows
from tests.weather_frames import by_heat, from_day, temperatures, weather


def found(table, places, day):
    windows = site_windows(table, places, day, 14)
    return windows, next_where_closed(windows, table, places, day, 14)


def days(windows, place=0):
    return [None if np.isnat(day) else str(day) for day in windows.dates[:, place]]


JUNE = WindowTable(calendar=CalendarWindow(opens="06-10", closes="07-05"))


def test_a_calendar_that_has_closed_is_followed_by_the_next():
    before, after = found(JUNE, temperatures(), dt.date(2027, 7, 6))
    assert days(before) == ["2027-05-27", "2027-06-10", None, "2027-07-05"]
    assert days(after) == ["2028-05-27", "2028-06-10", None, "2028-07-05"]
    assert after.note[0] == "the last window closed on 2027-07-05"


def test_on_its_last_day_a_window_is_under_way():
    before, after = found(JUNE, temperatures(), dt.date(2027, 7, 5))
    assert after is before


def test_a_window_without_a_closing_stays():
    table = WindowTable(calendar=CalendarWindow(opens="06-10", peaks="06-20"))
    before, after = found(table, temperatures(), dt.date(2027, 7, 20))
    assert after is before
    assert days(after)[1] == "2027-06-10"


def test_heat_that_has_closed_is_followed_by_the_next_year():
    """10 degree-days a day from 1 June: 95 on the tenth day, 205 on the twenty-first."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-07-10")
    table = by_heat(opens=95, closes=205)
    before, after = found(table, temperatures(record), dt.date(2026, 7, 11))
    assert days(before)[1::2] == ["2026-06-10", "2026-06-21"]
    assert days(after) == ["2027-05-27", "2027-06-10", None, "2027-06-21"]
    assert after.note[0] == "the last window closed on 2026-06-21"
    assert after.years[0] == 12


def test_of_two_places_only_the_one_that_has_closed_goes_on():
    """Three hundred metres down are 30 days earlier than 5 July: the lower place closed on 5 June."""
    shifted = CalendarWindow(opens="06-10", closes="07-05", at_elevation_m=1000.0, days_per_100m=10.0)
    table = WindowTable(calendar=shifted)
    before, after = found(table, temperatures(elevation_m=(700.0, 1000.0)), dt.date(2027, 6, 20))
    assert days(before)[3] == "2027-06-05"
    assert days(after)[3] == "2028-06-05"
    assert days(after, 1) == days(before, 1)
    assert after.note.tolist() == ["the last window closed on 2027-06-05", ""]
