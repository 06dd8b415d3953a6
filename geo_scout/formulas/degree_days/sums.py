"""Heat sums over days, and the day on which a sum is reached."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.model.heat_model import HeatModel

FloatArray = NDArray[np.float64]

# Rounding must not put a sum off to the next day [degC days], nor a midnight into it [days].
_SUM_TOLERANCE, _DAY_TOLERANCE = 1e-9, 1e-9
# A larger block outgrows the cache and the allocator: normals in blocks of 256 took four times as long.
SITES_PER_BLOCK = 96


class Reached(NamedTuple):
    """Days on which heat sums are reached.

    Parameters
    ----------
    day
        Days since the start of the first day: 0.0 is its first instant, 31.5 noon of the 32nd day; the whole
        part always names the day itself. nan where the sum is not reached, or nobody can know [days].
    known
        Same shape: False where missing days, or an unknown sum, hide whether it was reached. nan with True
        means that the sum is not reached.
    """

    day: FloatArray
    known: NDArray[np.bool_]


def accumulate(daily_degc_days: ArrayLike) -> FloatArray:
    """Return the heat sum at the end of each day.

    Parameters
    ----------
    daily_degc_days
        Degree-days of each day, (days, n) or (days,) [degC days].

    Returns
    -------
    numpy.ndarray
        Sum since the first row, same shape [degC days]. From a site's first missing day on it is nan, because
        the sum is then unknown; `fill_gaps` mends short gaps in the temperatures beforehand.

    Examples
    --------
    >>> accumulate([1.0, 2.0, np.nan, 4.0]).tolist()
    [1.0, 3.0, nan, nan]
    """
    return np.asarray(np.cumsum(np.asarray(daily_degc_days, dtype=np.float64), axis=0))


def day_reached(
    daily_degc_days: ArrayLike, sums_degc_days: ArrayLike, *, whole_days: bool = False
) -> Reached:
    """Return the day on which each heat sum is reached at each site.

    Parameters
    ----------
    daily_degc_days
        Degree-days of each day from the start of counting, (days, n) [degC days].
    sums_degc_days
        Sums asked for, (k,) for all sites or (k, n); nan is a sum nobody knows [degC days].
    whole_days
        False: heat is spread evenly over the day and the answer has a fraction. True: the number of the day.

    Returns
    -------
    Reached
        Day and known, both (k, n) [days]. A sum of 0 is reached at 0.0; one reached as the day ends belongs
        to that day. A gap after the sum was reached does no harm.

    Raises
    ------
    ValueError
        If a sum is negative or the shapes do not fit.

    Examples
    --------
    >>> answer = day_reached(np.full((10, 1), 4.0), [6.0, 50.0])
    >>> answer.day.tolist(), answer.known.tolist()
    ([[1.5], [nan]], [[True], [True]])
    """
    daily = np.asarray(daily_degc_days, dtype=np.float64)
    if daily.ndim != 2:
        message = f"the degree-days have shape {daily.shape}; (days, sites) is needed"
        raise ValueError(message)
    sums = _sums_by_site(sums_degc_days, daily.shape[1])
    return _reached(accumulate(daily), sums, whole_days)


def day_reached_in_blocks(
    tmin_degc: NDArray[np.floating],
    tmax_degc: NDArray[np.floating],
    model: HeatModel,
    sums_degc_days: ArrayLike,
    *,
    next_tmin_degc: NDArray[np.floating] | None = None,
    whole_days: bool = False,
    sites_per_block: int = SITES_PER_BLOCK,
) -> Reached:
    """Return the day on which sums are reached, straight from temperatures, a block of sites at a time.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Lowest and highest temperature of each day from the start of counting, (days, n); float32 will do
        and halves what they take [degC].
    model
        Thresholds, method and cutoff; its start date is the caller's first row.
    sums_degc_days
        Sums asked for, (k,) or (k, n) [degC days].
    next_tmin_degc
        Minimum of the day after the last, (n,), as in `daily_degree_days` [degC].
    whole_days
        As in `day_reached`.
    sites_per_block
        Sites worked on at once; it changes memory and speed, never the answer.

    Returns
    -------
    Reached
        As `day_reached` of `daily_degree_days`, (k, n) [days].
    """
    count = tmin_degc.shape[1]
    sums = _sums_by_site(sums_degc_days, count)
    day, known = np.full(sums.shape, np.nan), np.zeros(sums.shape, dtype=np.bool_)
    for first in range(0, count, sites_per_block):
        block = slice(first, first + sites_per_block)
        following = None if next_tmin_degc is None else next_tmin_degc[block]
        daily = daily_degree_days(tmin_degc[:, block], tmax_degc[:, block], model, following)
        total = np.cumsum(daily, axis=0, out=daily)
        day[:, block], known[:, block] = _reached(total, sums[:, block], whole_days)
    return Reached(day, known)


def _reached(total: FloatArray, sums: FloatArray, whole_days: bool) -> Reached:
    """Return where running totals (days, n) reach the sums (k, n)."""
    day, known = np.full(sums.shape, np.nan), np.zeros(sums.shape, dtype=np.bool_)
    sites = np.arange(total.shape[1])
    has_no_gap = ~np.isnan(total[-1]) if len(total) else np.zeros(len(sites), dtype=np.bool_)
    for row, wanted in enumerate(sums):
        if len(total):
            is_there = total >= wanted - _SUM_TOLERANCE
            number = is_there.argmax(axis=0)
            reached = is_there[number, sites]
            part = 0.0 if whole_days else _part_of_day(total, number, wanted)
            day[row] = np.where(reached, number + part, np.nan)
        day[row, wanted == 0] = 0.0
        known[row] = (has_no_gap | ~np.isnan(day[row])) & ~np.isnan(wanted)
    return Reached(day, known)


def _part_of_day(total: FloatArray, number: NDArray[np.intp], wanted: FloatArray) -> FloatArray:
    """Return the part of the day after which the sum is reached, its heat spread evenly."""
    sites = np.arange(total.shape[1])
    before = np.where(number > 0, total[np.maximum(number - 1, 0), sites], 0.0)
    of_day = total[number, sites] - before
    part = np.divide(wanted - before, of_day, out=np.zeros(len(sites)), where=of_day > 0)
    return np.clip(part, 0.0, 1.0 - _DAY_TOLERANCE)


def _sums_by_site(sums_degc_days: ArrayLike, count: int) -> FloatArray:
    sums = np.asarray(sums_degc_days, dtype=np.float64)
    if sums.ndim not in (1, 2) or (sums.ndim == 2 and sums.shape[1] != count):
        message = f"the sums have shape {sums.shape}; (k,) or (k, {count}) is needed"
        raise ValueError(message)
    if (sums < 0).any():
        message = f"a heat sum is negative ({np.nanmin(sums)} degC days)"
        raise ValueError(message)
    return np.broadcast_to(sums[:, None] if sums.ndim == 1 else sums, (len(sums), count))
