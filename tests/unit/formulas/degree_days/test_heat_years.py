"""Heat years across New Year and 29 February, and days as dates."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.formulas.degree_days.heat_years import (
    dates_of,
    days_by_heat_year,
    from_common_calendar,
    heat_years,
    to_common_calendar,
)
from geo_scout.model.heat_model import MonthDay

NAN = np.nan


def test_calendar_years():
    years = heat_years(dt.date(2023, 1, 1), 365 + 366 + 100, MonthDay(1, 1))
    assert [(year.start.year, year.rows.stop - year.rows.start, year.is_complete) for year in years] == [
        (2023, 365, True), (2024, 366, True), (2025, 100, False),
    ]  # fmt: skip


def test_southern_years_cross_new_year():
    years = heat_years(dt.date(2023, 3, 10), 800, MonthDay(7, 1))
    assert [(str(year.start), year.rows, year.is_complete) for year in years] == [
        ("2023-07-01", slice(113, 479), True),  # 366 days: it holds 29 February 2024
        ("2024-07-01", slice(479, 800), False),
    ]


def test_a_record_too_short_for_its_start_date_has_no_year():
    assert heat_years(dt.date(2023, 3, 10), 50, MonthDay(7, 1)) == ()


def test_the_same_date_in_every_year_has_the_same_number():
    """The sum is reached in the morning of 10 March each year; from 1 January that is day 68.25 without 29 February."""
    first = dt.date(2023, 1, 1)
    dates = np.arange(np.datetime64("2023-01-01"), np.datetime64("2027-01-01"))
    daily = np.where([str(date)[5:] == "03-10" for date in dates], 20.0, 0.0)[:, None]
    found = days_by_heat_year(daily, first, MonthDay(1, 1), [5.0])
    assert found.years == (2023, 2024, 2025, 2026)
    assert found.day[0, :, 0] == pytest.approx([68.25] * 4)
    assert found.known.all()


def test_years_from_july_give_dates_in_the_next_year():
    """Reached at noon of 15 January: 31+31+30+31+30+31 days to the end of December, and 14.5."""
    dates = np.arange(np.datetime64("2022-07-01"), np.datetime64("2025-07-01"))
    daily = np.where([str(date)[5:] == "01-15" for date in dates], 10.0, 0.0)[:, None]
    found = days_by_heat_year(daily, dt.date(2022, 7, 1), MonthDay(7, 1), [5.0])
    assert found.day[0, :, 0] == pytest.approx([198.5] * 3)
    assert dates_of(from_common_calendar(198.5, dt.date(2027, 7, 1)), dt.date(2027, 7, 1)) == np.datetime64(
        "2028-01-15"
    )


def test_an_unfinished_year_knows_what_it_has_reached_and_not_what_it_will():
    daily = np.full((365 + 30, 1), 1.0)
    found = days_by_heat_year(
        daily, dt.date(2025, 1, 1), MonthDay(1, 1), [20.0, 100.0, 400.0], whole_days=True
    )
    np.testing.assert_array_equal(found.day[:, :, 0], [[19, 19], [99, NAN], [NAN, NAN]])
    np.testing.assert_array_equal(found.known[:, :, 0], [[True, True], [True, False], [True, False]])


def test_a_gap_hides_its_own_year_only():
    daily = np.full((730, 1), 1.0)
    daily[40] = NAN
    found = days_by_heat_year(daily, dt.date(2025, 1, 1), MonthDay(1, 1), [50.0], whole_days=True)
    np.testing.assert_array_equal(found.day[0, :, 0], [NAN, 49])
    np.testing.assert_array_equal(found.known[0, :, 0], [False, True])


@pytest.mark.parametrize(
    ("start", "leap"),
    [("2028-01-01", 59), ("2027-07-01", 243), ("2028-02-29", 0), ("2028-03-01", None), ("2027-01-01", None)],
)
def test_the_common_calendar_leaves_out_the_29th_of_february(start, leap):
    start = dt.date.fromisoformat(start)
    days = np.arange(0.25, 365.0)
    if leap is None:
        np.testing.assert_array_equal(to_common_calendar(days, start), days)
        np.testing.assert_array_equal(from_common_calendar(days, start), days)
        return
    common = to_common_calendar(days, start)
    np.testing.assert_array_equal(common[:leap], days[:leap])
    assert common[leap] == leap
    np.testing.assert_array_equal(common[leap + 1 :], days[leap + 1 :] - 1)
    back = from_common_calendar(common, start)
    outside = np.arange(len(days)) != leap
    np.testing.assert_array_equal(back[outside], days[outside])
    assert dates_of(from_common_calendar(leap, start), start) == np.datetime64(
        f"{start.year + (leap > 60)}-03-01"
    )


def test_the_29th_of_february_itself_becomes_the_1st_of_march():
    start = dt.date(2028, 1, 1)
    assert to_common_calendar([59.0, 59.9, 60.0], start).tolist() == [59.0, 59.0, 59.0]
    assert dates_of([59.9], start).astype(str).tolist() == ["2028-02-29"]


def test_missing_days_are_no_dates():
    found = dates_of([NAN, 0.0], dt.date(2027, 1, 1))
    assert np.isnat(found).tolist() == [True, False]
    assert found.dtype == np.dtype("datetime64[D]")
    assert np.isnan(to_common_calendar([NAN], dt.date(2028, 1, 1))).all()
