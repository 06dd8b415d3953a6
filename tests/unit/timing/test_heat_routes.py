"""What other years say of the rest of a season, by hand: 10 degree-days a day at 20 degC above 10 degC."""

import datetime as dt

import numpy as np

from geo_scout.model.heat_model import HeatModel, MonthDay
from geo_scout.timing.heat_routes import (
    HeatQuestion,
    RecordHeat,
    days_from,
    days_over_years,
    heat_of_record,
    nothing_known,
)

SUMS = np.array([np.nan, 95.0, np.nan, np.nan])


NEW_YEAR = MonthDay(1, 1)


def question(year=2027):
    return HeatQuestion(HeatModel(10.0, "degc", "single_sine", NEW_YEAR), SUMS, NEW_YEAR.on(year))


def daily(first, last, warm):
    """Return 10 degree-days on days for which `warm` is true."""
    days = [dt.date.fromordinal(n) for n in range(first.toordinal(), last.toordinal() + 1)]
    return np.array([[10.0 if warm(day) else 0.0] for day in days])


def test_a_record_is_cut_at_the_first_day_of_the_season():
    first = dt.date(2026, 12, 30)
    found = heat_of_record(question(), first, np.full((5, 1), 20.0), np.full((5, 1), 20.0))
    assert (len(found.before), len(found.seen)) == (2, 3)
    assert found.seen.ravel().tolist() == [10.0, 10.0, 10.0]


def test_a_record_that_begins_after_the_first_day_has_seen_nothing():
    found = heat_of_record(question(), dt.date(2027, 1, 2), np.full((5, 1), 20.0), np.full((5, 1), 20.0))
    assert (len(found.before), len(found.seen)) == (0, 0)


def test_days_after_the_heat_year_do_not_count():
    found = heat_of_record(
        question(2024), dt.date(2024, 1, 1), np.full((800, 1), 20.0), np.full((800, 1), 20.0)
    )
    assert len(found.seen) == 366


def test_the_middle_of_years_that_open_on_different_days():
    """Warm from 1, 3 and 9 June, open nine and a half days later; the middle year is the second."""
    starts = {2024: (6, 1), 2025: (6, 3), 2026: (6, 9)}
    before = daily(
        dt.date(2024, 1, 1), dt.date(2026, 12, 31), lambda day: (day.month, day.day) >= starts[day.year]
    )
    found = days_over_years(question(), RecordHeat(dt.date(2024, 1, 1), before, before[:0]))
    # 3 June is day 153 from 0.
    assert found.day[1, 0] == 153 + 9.5
    assert found.years.tolist() == [3]
    assert np.isnan(found.early).all()


def test_a_season_seen_so_far_goes_on_as_other_years_did_on_the_same_dates():
    """Five warm days were seen in 2027 by 10 June; other years have a warm day from 20 June on: 4.5 more are needed."""
    before = daily(dt.date(2025, 1, 1), dt.date(2026, 12, 31), lambda day: (day.month, day.day) >= (6, 20))
    seen = daily(dt.date(2027, 1, 1), dt.date(2027, 6, 10), lambda day: day >= dt.date(2027, 6, 6))
    found = days_over_years(question(), RecordHeat(dt.date(2025, 1, 1), before, seen))
    # 20 June is day 170 from 0.
    assert found.day[1, 0] == 170 + 4.5


def test_a_leap_year_behind_the_season_does_not_shift_its_dates():
    before = daily(dt.date(2024, 1, 1), dt.date(2024, 12, 31), lambda day: (day.month, day.day) >= (6, 20))
    seen = daily(dt.date(2027, 1, 1), dt.date(2027, 2, 28), lambda _: False)
    found = days_over_years(question(), RecordHeat(dt.date(2024, 1, 1), before, seen))
    assert found.day[1, 0] == 170 + 9.5


def test_an_opening_seen_on_29_february_stays_there():
    """95 degree-days are half-way through the tenth warm day, 29 February 2028."""
    before = daily(dt.date(2026, 1, 1), dt.date(2027, 12, 31), lambda day: day.month > 3)
    seen = daily(dt.date(2028, 1, 1), dt.date(2028, 3, 20), lambda day: day >= dt.date(2028, 2, 20))
    found = days_over_years(question(2028), RecordHeat(dt.date(2026, 1, 1), before, seen))
    assert found.day[1, 0] == 59.5


def test_a_whole_season_that_was_seen_needs_no_other_year():
    before = daily(dt.date(2026, 1, 1), dt.date(2026, 12, 31), lambda _: True)
    seen = daily(dt.date(2027, 1, 1), dt.date(2027, 12, 31), lambda day: day.month == 12)
    found = days_over_years(question(), RecordHeat(dt.date(2026, 1, 1), before, seen))
    # 1 December is day 334 from 0.
    assert found.day[1, 0] == 334 + 9.5


def test_a_year_that_never_reaches_counts_as_later_than_any():
    """Two of three years never open: neither does the middle one, and that is known."""
    before = daily(dt.date(2024, 1, 1), dt.date(2026, 12, 31), lambda day: day.year == 2025)
    found = days_over_years(question(), RecordHeat(dt.date(2024, 1, 1), before, before[:0]))
    assert np.isnan(found.day[1, 0])
    assert found.known[1, 0]


def test_no_year_at_all_is_nothing_known():
    found = days_over_years(question(), RecordHeat(dt.date(2026, 3, 1), np.ones((20, 2)), np.ones((0, 2))))
    assert not found.known.any()
    assert found.years.tolist() == [0, 0]


def test_what_was_seen_takes_the_place_of_what_is_usual():
    usual, seen = np.full((365, 1), 5.0), np.full((4, 1), 20.0)
    # 80 by the end of the fourth day; 15 more at 5 a day are 3 days.
    assert days_from(question(), usual, seen).day[1, 0] == 4 + 3 - 1e-9
    assert days_from(question(), usual, seen[:0]).day[1, 0] == 19 - 1e-9


def test_nothing_known_has_arrays_of_its_own():
    nothing = nothing_known(2)
    nothing.early[0] = 1.0
    assert np.isnan(nothing.late).all()
