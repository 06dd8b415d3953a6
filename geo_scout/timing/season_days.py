"""Which year's window is meant: the one under way, or the next."""

import datetime as dt

import numpy as np

from geo_scout.model.heat_model import MonthDay
from geo_scout.model.site_windows import Dates

# Many windows have no closing, and a late date is still of use to whoever looks back. Our choice.
LOOK_BACK_DAYS = 60


def season_reference(as_of: dt.date, season_start: dt.date | None) -> dt.date:
    """Return the day from which the window is looked for: the first of the season, else the day it is."""
    return season_start or as_of


def is_over(dates: Dates, reference: dt.date) -> bool:
    """Return whether the last of some dates is more than two months before a day; False without a date.

    >>> closed = np.array(["2026-07-05", "NaT"], dtype="datetime64[D]")
    >>> is_over(closed, dt.date(2026, 9, 3)), is_over(closed, dt.date(2026, 9, 4))
    (False, True)
    """
    there = dates[~np.isnat(dates)]
    return bool(len(there) and (there.max() + LOOK_BACK_DAYS).item() < reference)


def years_of(days: tuple[MonthDay | None, ...], reference: dt.date) -> tuple[dt.date | None, ...]:
    """Return the dates of a window by the calendar that is under way at a day, or the next one.

    Parameters
    ----------
    days
        Days in the order in which they come; a day earlier in the year than the one before it lies in the
        next year.
    reference
        The day.

    Examples
    --------
    >>> christmas = (MonthDay(12, 20), None, None, MonthDay(1, 10))
    >>> [str(one) for one in years_of(christmas, dt.date(2027, 2, 1))]
    ['2026-12-20', 'None', 'None', '2027-01-10']
    >>> [str(one) for one in years_of(christmas, dt.date(2027, 4, 1))]
    ['2027-12-20', 'None', 'None', '2028-01-10']
    """
    for year in range(reference.year - 1, reference.year + 2):
        dates = _from_year(days, year)
        if not is_over(np.array([one for one in dates if one is not None], dtype="datetime64[D]"), reference):
            return dates
    return dates


def _from_year(days: tuple[MonthDay | None, ...], year: int) -> tuple[dt.date | None, ...]:
    dates: list[dt.date | None] = []
    before: dt.date | None = None
    for day in days:
        if day is None:
            dates.append(None)
            continue
        date = day.on(year if before is None else before.year)
        before = date if before is None or date >= before else day.on(before.year + 1)
        dates.append(before)
    return tuple(dates)
