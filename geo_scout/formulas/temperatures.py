"""Temperatures of days: from monthly normals, with short gaps filled, and how much days differ."""

import datetime as dt
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

MONTHS = 12
_FEWEST_DAYS_OF_A_MONTH = 28


def days_from_months(monthly: ArrayLike, days_in_year: int = 365) -> FloatArray:
    """Return the smoothest daily values whose monthly means are the given ones.

    Parameters
    ----------
    monthly
        Monthly means, January to December, (12, n) or (12,) [any unit].
    days_in_year
        365, or 366 for a year with 29 February [days].

    Returns
    -------
    numpy.ndarray
        Daily values from 1 January, (days_in_year, n) or (days_in_year,), same unit. All nan where a month
        is nan: each month bears on the whole year.

    Raises
    ------
    ValueError
        If there are not twelve months or the year has another length.

    Notes
    -----
    Of all daily series that go on from 31 December to 1 January and have the given monthly means, the one
    with the smallest sum of squared second differences; a linear system solved once for each length of year,
    so that the daily values are fixed weights times the months. It can overshoot the highest month, as a
    true daily normal does.

    References
    ----------
    Delhez, E.J.M. 2003. A spline interpolation technique that preserves mass budgets. Applied Mathematics
    Letters 16:17-26 (from memory), here on days instead of continuous time. Epstein, E.S. 1991. On obtaining
    daily climatological values from monthly means. Journal of Climate 4:365-368, for why the means of linear
    interpolation are wrong.

    Examples
    --------
    >>> days = days_from_months([0, 2, 6, 10, 15, 19, 21, 20, 16, 10, 5, 1.0])
    >>> round(float(days[:31].mean()), 9), round(float(days[181:212].mean()), 9)
    (0.0, 21.0)
    """
    months = np.asarray(monthly, dtype=np.float64)
    if months.shape[:1] != (MONTHS,) or months.ndim > 2:
        message = f"the monthly values have shape {months.shape}; (12, sites) is needed"
        raise ValueError(message)
    unknown = np.isnan(months).any(axis=0)
    days = _weights(days_in_year) @ np.where(unknown, 0.0, months)
    return np.where(unknown, np.nan, days)


@cache
def month_of_day(days_in_year: int = 365) -> IntArray:
    """Return the month, 0 to 11, of every day of a year from 1 January.

    Parameters
    ----------
    days_in_year
        365 or 366 [days].

    Returns
    -------
    numpy.ndarray
        (days_in_year,), read-only.
    """
    if days_in_year not in (365, 366):
        message = f"a year of {days_in_year} days does not exist; 365 or 366"
        raise ValueError(message)
    february = days_in_year - 337
    lengths = [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    months = np.repeat(np.arange(MONTHS), lengths)
    months.flags.writeable = False
    return months


@cache
def _weights(days_in_year: int) -> FloatArray:
    """Return the (days, 12) weights: least squared second differences under twelve fixed means."""
    months = month_of_day(days_in_year)
    means = (months == np.arange(MONTHS)[:, None]) / np.bincount(months)[:, None]
    identity = np.eye(days_in_year)
    second = np.roll(identity, 1, axis=1) - 2.0 * identity + np.roll(identity, -1, axis=1)
    system = np.block([[second.T @ second, means.T], [means, np.zeros((MONTHS, MONTHS))]])
    wanted = np.vstack([np.zeros((days_in_year, MONTHS)), np.eye(MONTHS)])
    weights: FloatArray = np.linalg.solve(system, wanted)[:days_in_year]
    weights.flags.writeable = False
    return weights


def monthly_spread_degc(
    tmin_degc: ArrayLike, tmax_degc: ArrayLike, first_day: dt.date, fewest_days: int = _FEWEST_DAYS_OF_A_MONTH
) -> FloatArray:
    """Return the standard deviation of daily mean temperature in each month of the year.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Lowest and highest temperature of each day, (days, n) [degC].
    first_day
        Date of the first row; the rows are consecutive dates.
    fewest_days
        Days of a month needed over all years, by default one whole February (our choice) [days].

    Returns
    -------
    numpy.ndarray
        (12, n), January to December; nan where a month has too few known days [degC].

    Notes
    -----
    The daily mean is (tmin + tmax) / 2. The days of one month are pooled over all years with divisor N - 1,
    so the spread holds the weather, differences between years, and the month's own rise or fall.
    """
    mean = (np.asarray(tmin_degc, dtype=np.float64) + np.asarray(tmax_degc, dtype=np.float64)) / 2.0
    dates = np.datetime64(first_day, "D") + np.arange(len(mean))
    months = dates.astype("datetime64[M]").astype(np.int64) % MONTHS
    spread = np.full((MONTHS, mean.shape[1]), np.nan)
    for month in range(MONTHS):
        days = mean[months == month]
        known = ~np.isnan(days)
        count = known.sum(axis=0)
        enough = count >= max(fewest_days, 2)
        centre = np.where(known, days, 0.0).sum(axis=0) / np.maximum(count, 1)
        squares = np.where(known, (days - centre) ** 2, 0.0).sum(axis=0)
        spread[month, enough] = np.sqrt(squares[enough] / (count[enough] - 1))
    return spread


def fill_gaps(daily: ArrayLike, longest_days: int) -> FloatArray:
    """Return daily values with short gaps bridged by a straight line.

    Parameters
    ----------
    daily
        Daily values, (days, n); nan is missing [any unit].
    longest_days
        Longest gap that is filled; a longer one stays whole [days].

    Returns
    -------
    numpy.ndarray
        Same shape and unit. Gaps at either end have no second side and stay nan.

    Examples
    --------
    >>> fill_gaps(np.array([[1.0], [np.nan], [3.0], [np.nan], [np.nan], [9.0]]), 1).ravel().tolist()
    [1.0, 2.0, 3.0, nan, nan, 9.0]
    """
    values = np.array(daily, dtype=np.float64)
    number = np.arange(len(values))[:, None]
    known = ~np.isnan(values)
    before = np.maximum.accumulate(np.where(known, number, -1), axis=0)
    after = np.minimum.accumulate(np.where(known, number, len(values))[::-1], axis=0)[::-1]
    gap = ~known & (before >= 0) & (after < len(values)) & (after - before - 1 <= longest_days)
    day, site = np.nonzero(gap)
    first, last = before[day, site], after[day, site]
    part = (day - first) / (last - first)
    values[day, site] = values[first, site] * (1.0 - part) + values[last, site] * part
    return values
