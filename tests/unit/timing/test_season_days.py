import datetime as dt

import numpy as np
import pytest

from geo_scout.model.heat_model import MonthDay
from geo_scout.timing.season_days import is_over, season_reference, years_of


def test_the_first_day_of_the_season_is_the_reference_else_the_day_it_is():
    assert season_reference(dt.date(2026, 11, 1), dt.date(2027, 5, 1)) == dt.date(2027, 5, 1)
    assert season_reference(dt.date(2026, 11, 1), None) == dt.date(2026, 11, 1)


def test_a_window_without_any_date_is_never_over():
    assert not is_over(np.array(["NaT"], dtype="datetime64[D]"), dt.date(2030, 1, 1))


JUNE = (None, MonthDay(6, 10), MonthDay(6, 20), MonthDay(7, 5))


@pytest.mark.parametrize(
    ("day", "year"),
    [
        ((2026, 11, 1), 2027),
        ((2027, 1, 1), 2027),
        ((2027, 6, 30), 2027),
        ((2027, 9, 3), 2027),
        ((2027, 9, 4), 2028),
    ],
)
def test_a_calendar_is_that_under_way_or_the_next(day, year):
    """5 July and sixty days are 3 September."""
    assert [one and one.year for one in years_of(JUNE, dt.date(*day))] == [None, year, year, year]


def test_only_one_day_is_enough():
    assert years_of((None, None, MonthDay(1, 5), None), dt.date(2027, 12, 1))[2] == dt.date(2028, 1, 5)
