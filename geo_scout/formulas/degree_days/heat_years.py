"""Heat years: a long daily record cut at the start date of counting, and days as dates.

A heat year begins on the start date and ends the day before the next one, so that counting from 1 July
crosses New Year. Years are compared on a *common calendar*: days since the start date with 29 February left
out, so that the same number is the same date in every year.
"""

import datetime as dt
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.degree_days.sums import day_reached
from geo_scout.model.heat_model import MonthDay

FloatArray = NDArray[np.float64]


class HeatYear(NamedTuple):
    """One heat year within a daily record.

    Parameters
    ----------
    start
        Its first date.
    rows
        Rows of the record that belong to it.
    is_complete
        False for the last one if the record ends before it does.
    """

    start: dt.date
    rows: slice
    is_complete: bool


class YearlyDays(NamedTuple):
    """Days on which heat sums were reached in each heat year.

    Parameters
    ----------
    years
        Year in which each heat year starts, (years,).
    day
        Days since the start date on the common calendar, (k, years, n); nan where the sum was not reached
        that year, or nobody can know [days].
    known
        Same shape: False where missing days, or the end of the record, hide whether it was reached.
    """

    years: tuple[int, ...]
    day: FloatArray
    known: NDArray[np.bool_]


def heat_years(first_day: dt.date, days: int, start: MonthDay) -> tuple[HeatYear, ...]:
    """Return the heat years of a daily record.

    Parameters
    ----------
    first_day
        Date of the record's first row.
    days
        Number of rows, one for each date without gaps [days].
    start
        Day on which every heat year begins.

    Returns
    -------
    tuple of HeatYear
        In order of time. Days before the first start date belong to none; a last heat year that the record
        does not finish is given and marked.

    Examples
    --------
    >>> for year in heat_years(dt.date(2019, 5, 1), 800, MonthDay(7, 1)):
    ...     print(year.start, year.rows.start, year.rows.stop, year.is_complete)
    2019-07-01 61 427 True
    2020-07-01 427 792 True
    2021-07-01 792 800 False
    """
    year = first_day.year if start.on(first_day.year) >= first_day else first_day.year + 1
    found = []
    while (first := (start.on(year) - first_day).days) < days:
        after = (start.on(year + 1) - first_day).days
        found.append(HeatYear(start.on(year), slice(first, min(after, days)), after <= days))
        year += 1
    return tuple(found)


def days_by_heat_year(
    daily_degc_days: ArrayLike,
    first_day: dt.date,
    start: MonthDay,
    sums_degc_days: ArrayLike,
    *,
    whole_days: bool = False,
) -> YearlyDays:
    """Return the day on which each heat sum was reached in each heat year of a record.

    Parameters
    ----------
    daily_degc_days
        Degree-days of every date of the record, (days, n) [degC days].
    first_day
        Date of the first row.
    start
        Day from which heat is counted.
    sums_degc_days
        Sums asked for, (k,) or (k, n) [degC days].
    whole_days
        As in `day_reached`.

    Returns
    -------
    YearlyDays
        For every heat year that the record holds from its start, also an unfinished last one [days].
    """
    daily = np.asarray(daily_degc_days, dtype=np.float64)
    years = heat_years(first_day, len(daily), start)
    sums = len(np.asarray(sums_degc_days))
    day = np.full((sums, len(years), daily.shape[1]), np.nan)
    known = np.zeros(day.shape, dtype=np.bool_)
    for column, year in enumerate(years):
        reached = day_reached(daily[year.rows], sums_degc_days, whole_days=whole_days)
        day[:, column] = to_common_calendar(reached.day, year.start)
        known[:, column] = reached.known & (year.is_complete | ~np.isnan(reached.day))
    return YearlyDays(tuple(year.start.year for year in years), day, known)


def to_common_calendar(day: ArrayLike, start: dt.date) -> FloatArray:
    """Return days since a start date with 29 February left out.

    Parameters
    ----------
    day
        Days since `start`, any shape, within one year of it [days].
    start
        First date of that year.

    Returns
    -------
    numpy.ndarray
        Same shape; every instant of 29 February becomes the start of 1 March; nan stays nan [days].

    Examples
    --------
    >>> to_common_calendar([58.5, 59.5, 60.5], dt.date(2028, 1, 1)).tolist()
    [58.5, 59.0, 59.5]
    """
    given, leap = np.asarray(day, dtype=np.float64), _leap_day(start)
    if leap is None:
        return given
    return np.where(given < leap, given, np.maximum(given - 1.0, leap))


def from_common_calendar(day: ArrayLike, start: dt.date) -> FloatArray:
    """Return days since a start date, given with 29 February left out, as days that really pass.

    Parameters
    ----------
    day
        Days since `start` on the common calendar, any shape, within one year of it [days].
    start
        First date of the year they are wanted for.

    Returns
    -------
    numpy.ndarray
        Same shape; nan stays nan [days].

    Examples
    --------
    >>> from_common_calendar([58.5, 59.0], dt.date(2028, 1, 1)).tolist()
    [58.5, 60.0]
    """
    given, leap = np.asarray(day, dtype=np.float64), _leap_day(start)
    return given if leap is None else np.where(given < leap, given, given + 1.0)


def dates_of(day: ArrayLike, start: dt.date) -> NDArray[np.datetime64]:
    """Return the dates of days that really pass since a start date.

    Parameters
    ----------
    day
        Days since the first instant of `start`, any shape; may be negative [days].
    start
        The date of day 0.

    Returns
    -------
    numpy.ndarray
        Dates, ``datetime64[D]``, same shape; NaT where the day is nan.

    Examples
    --------
    >>> dates_of([0.0, 31.5, -1.0], dt.date(2027, 3, 1)).astype(str).tolist()
    ['2027-03-01', '2027-04-01', '2027-02-28']
    """
    given = np.asarray(day, dtype=np.float64)
    missing = np.isnan(given)
    dates = np.datetime64(start, "D") + np.floor(np.where(missing, 0.0, given)).astype("timedelta64[D]")
    return np.asarray(np.where(missing, np.datetime64("NaT", "D"), dates))


def _leap_day(start: dt.date) -> int | None:
    """Return how many days after the start 29 February comes within the year, None where it does not."""
    for year in (start.year, start.year + 1):
        end_of_february = dt.date(year, 3, 1) - dt.timedelta(days=1)
        after = (end_of_february - start).days
        if end_of_february.day == 29 and 0 <= after < 366:
            return after
    return None
