"""Early, typical and late dates over many years."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

FEWEST_YEARS = 10
EARLY_TYPICAL_LATE = (0.1, 0.5, 0.9)


class TooFewYears(ValueError):
    """There are fewer than ten years, so that early and late would be guesses."""


class DayQuantiles(NamedTuple):
    """Quantiles over years of the day something happens.

    Parameters
    ----------
    day
        (quantiles, ..., n), on the calendar of the years given; nan where it is not reached at that quantile,
        or where too few years are known [days].
    years_known
        (..., n) years that count, reached or not [years].
    years_reached
        (..., n) years in which it happened [years].
    """

    day: FloatArray
    years_known: NDArray[np.int64]
    years_reached: NDArray[np.int64]


def day_quantiles(
    day: ArrayLike,
    known: ArrayLike,
    quantiles: Sequence[float] = EARLY_TYPICAL_LATE,
    fewest_years: int = FEWEST_YEARS,
) -> DayQuantiles:
    """Return early, typical and late days over ten or more years.

    Parameters
    ----------
    day
        Day in each year on the common calendar, (..., years, n); nan where it did not happen or nobody
        knows [days].
    known
        Same shape: False where nobody knows. A year that is known and has no day counts as *never*, later
        than any date; a year that is not known is left out.
    quantiles
        Shares of years, 0-1, by default one in ten, one in two, nine in ten [share].
    fewest_years
        Years needed; at a site with fewer known ones the days are nan [years].

    Returns
    -------
    DayQuantiles
        A quantile that falls on a year that never reaches, or between a date and such a year, is nan although
        enough years are known: by then it has not happened [days].

    Raises
    ------
    TooFewYears
        If fewer than `fewest_years` are given at all.

    Notes
    -----
    Quantile p of N years in order is at place 1 + (N - 1) p, linear between neighbours: definition 7 of
    Hyndman & Fan.

    References
    ----------
    Hyndman, R.J. & Fan, Y. 1996. Sample quantiles in statistical packages. American Statistician 50:361-365.

    Examples
    --------
    >>> years = np.arange(100.0, 111.0)[:, None]
    >>> day_quantiles(years, np.full(years.shape, True)).day.ravel().tolist()
    [101.0, 105.0, 109.0]
    """
    days, knows = np.asarray(day, dtype=np.float64), np.asarray(known, dtype=np.bool_)
    if days.shape != knows.shape or days.ndim < 2:
        message = f"day has shape {days.shape} and known {knows.shape}; both must be (..., years, sites)"
        raise ValueError(message)
    if days.shape[-2] < fewest_years:
        message = f"{days.shape[-2]} years are too few for early and late dates; {fewest_years} are needed"
        raise TooFewYears(message)
    happened = knows & ~np.isnan(days)
    # Sorting puts dates first, then the years that never reach (inf), then the unknown (nan).
    ordered = np.sort(np.where(happened, days, np.where(knows, np.inf, np.nan)), axis=-2)
    years_known = knows.sum(axis=-2)
    answers = np.stack([_quantile(ordered, years_known, share) for share in quantiles])
    answers[:, years_known < fewest_years] = np.nan
    return DayQuantiles(answers, years_known, happened.sum(axis=-2))


def _quantile(ordered: FloatArray, count: NDArray[np.int64], share: float) -> FloatArray:
    place = np.maximum(count - 1, 0) * share
    below = np.floor(place + 1e-9).astype(np.intp)
    part = np.maximum(place - below, 0.0)
    part[part < 1e-9] = 0.0
    above = np.minimum(below + 1, np.maximum(count - 1, 0))
    low = np.take_along_axis(ordered, below[..., None, :], axis=-2)[..., 0, :]
    high = np.take_along_axis(ordered, above[..., None, :], axis=-2)[..., 0, :]
    never = np.isinf(low) | (np.isinf(high) & (part > 0))
    start = np.where(never, np.nan, low)
    return np.asarray(start + part * (np.where(np.isinf(high), start, high) - start))
