"""Degree-days from monthly normals: the day's expected heat, not the heat of the mean day."""

import datetime as dt
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.sums import SITES_PER_BLOCK, day_reached
from geo_scout.formulas.temperatures import MONTHS, days_from_months, month_of_day
from geo_scout.model.heat_model import HeatModel, Method

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

# The averages bend or jump at a threshold: nine nodes would err by up to a week at a vertical cutoff.
_NODES, _NODES_OF_AVERAGES = 9, 65
_AVERAGES: tuple[Method, ...] = ("simple_average", "clipped_average")
WHAT_IF_DEGC = (-1.0, 0.0, 1.0)


class NormalHeat(NamedTuple):
    """Degree-days of the days of a normal year.

    Parameters
    ----------
    daily_degc_days
        From the model's start date, (days, n) [degC days].
    is_corrected
        (n,) False where no spread was given, so that sums come late.
    """

    daily_degc_days: FloatArray
    is_corrected: BoolArray


class NormalDays(NamedTuple):
    """Days on which sums are reached in a normal year, as it is and a little colder or warmer.

    Parameters
    ----------
    day
        (what-ifs, k, n) days since the start date; nan where the sum is not reached or normals are
        missing [days].
    known
        Same shape: False where normals are missing.
    is_corrected
        (n,) False where no spread was given, so that the days come late.
    """

    day: FloatArray
    known: BoolArray
    is_corrected: BoolArray


def normal_degree_days(
    tmin_degc: ArrayLike,
    tmax_degc: ArrayLike,
    model: HeatModel,
    spread_degc: ArrayLike | None = None,
    *,
    shift_degc: float = 0.0,
    days_in_year: int = 365,
) -> NormalHeat:
    """Return the expected degree-days of every day of a normal year.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Monthly normals of the daily minimum and maximum, January to December, (12, n) [degC].
    model
        Thresholds, method, cutoff and start date.
    spread_degc
        Standard deviation of daily mean temperature in each month, (12,) or (12, n); None, or nan in any
        month of a site, leaves that site uncorrected [degC].
    shift_degc
        Added to all temperatures, for a what-if [degC].
    days_in_year
        365; or 366 where the heat year has a 29 February [days].

    Returns
    -------
    NormalHeat
        (days_in_year, n) from the start date on [degC days]; nan throughout where a normal is nan.

    Raises
    ------
    ValueError
        If normals are not (12, n), a minimum is above its maximum, or a spread is negative.

    Notes
    -----
    Degree-days bend upwards at the base, so the heat of the mean day is less than the mean heat of days
    (Jensen): from normals alone spring dates come late. The expectation over a normal spread of whole days is
    taken by Gauss-Hermite quadrature with nine nodes z_q and weights w_q (65 for the two averages, whose
    degree-days bend sharply): the sum of w_q A(tmin + z_q s, tmax + z_q s), s that of the day's month. The
    day's range is not spread.

    References
    ----------
    Abramowitz, M. & Stegun, I.A. 1964. Handbook of Mathematical Functions, 25.4.46 and table 25.10
    (from memory). Jensen, J.L.W.V. 1906. Acta Mathematica 30:175-193.

    Examples
    --------
    >>> from geo_scout.model.heat_model import MonthDay
    >>> model = HeatModel(10.0, "degc", "single_sine", MonthDay(1, 1))
    >>> tmin, tmax = np.full((12, 1), 0.0), np.full((12, 1), 10.0)
    >>> for spread in (None, np.full(12, 4.0)):
    ...     heat = normal_degree_days(tmin, tmax, model, spread)
    ...     print(heat.daily_degc_days[0].round(1), heat.is_corrected)
    [0.] [False]
    [0.5] [ True]
    """
    tmin, tmax = _days_of_normals(tmin_degc, tmax_degc, days_in_year)
    spread, is_corrected = _spread(spread_degc, tmin.shape[1])
    of_day = spread[month_of_day(days_in_year)]
    tmin, tmax = tmin + shift_degc, tmax + shift_degc
    heat = np.zeros_like(tmin)
    nodes = _NODES_OF_AVERAGES if model.method in _AVERAGES else _NODES
    for node, weight in zip(*_gauss_hermite(nodes if is_corrected.any() else 1), strict=True):
        low, high = tmin + node * of_day, tmax + node * of_day
        heat += weight * daily_degree_days(low, high, model, next_tmin_degc=low[0])
    first = _rows_before_start(model, days_in_year)
    return NormalHeat(np.roll(heat, -first, axis=0), is_corrected)


def normal_days_reached(
    tmin_degc: ArrayLike,
    tmax_degc: ArrayLike,
    model: HeatModel,
    sums_degc_days: Sequence[float],
    spread_degc: ArrayLike | None = None,
    *,
    what_if_degc: Sequence[float] = WHAT_IF_DEGC,
    days_in_year: int = 365,
    sites_per_block: int = SITES_PER_BLOCK,
) -> NormalDays:
    """Return the days on which sums are reached in a normal year, and with all days colder or warmer.

    Parameters
    ----------
    tmin_degc, tmax_degc, model, spread_degc, days_in_year
        As in `normal_degree_days`; spread (12,) or (12, n).
    sums_degc_days
        Sums asked for, (k,) [degC days].
    what_if_degc
        Shifts of all temperatures, by default one degree colder, none, one warmer [degC].
    sites_per_block
        Sites worked on at once; it changes memory and speed, never the answer.

    Returns
    -------
    NormalDays
        (what-ifs, k, n) days since the start date [days].

    Notes
    -----
    A what-if is not a probability: a degree is about what a warm or cold spring differs, no more is claimed.
    """
    tmin, tmax = _twelve_by_sites(tmin_degc, "tmin_degc"), _twelve_by_sites(tmax_degc, "tmax_degc")
    count = tmin.shape[1]
    given = None if spread_degc is None else np.asarray(spread_degc, dtype=np.float64)
    shape = (len(what_if_degc), len(sums_degc_days), count)
    day, known = np.full(shape, np.nan), np.zeros(shape, dtype=np.bool_)
    is_corrected = np.zeros(count, dtype=np.bool_)
    for first in range(0, count, sites_per_block):
        block = slice(first, first + sites_per_block)
        spread = given[:, block] if given is not None and given.ndim == 2 else given
        for row, shift in enumerate(what_if_degc):
            heat, is_corrected[block] = normal_degree_days(
                tmin[:, block], tmax[:, block], model, spread, shift_degc=shift, days_in_year=days_in_year
            )
            day[row, :, block], known[row, :, block] = day_reached(heat, sums_degc_days)
    return NormalDays(day, known, is_corrected)


def observed_then_normal(observed_degc_days: ArrayLike, normal_degc_days: ArrayLike) -> FloatArray:
    """Return this season's heat up to each site's last observed day, and normal heat after it.

    Parameters
    ----------
    observed_degc_days
        Degree-days of this season's days from the start date on, (days so far, n); nan is missing
        [degC days].
    normal_degc_days
        Expected degree-days of the whole heat year from the same date, (days, n) [degC days].

    Returns
    -------
    numpy.ndarray
        (days, n) [degC days]. A gap before a site's last observed day stays nan; a site with no observation
        is normal throughout.

    Examples
    --------
    >>> observed_then_normal([[1.0], [np.nan], [3.0], [np.nan]], np.full((5, 1), 9.0)).ravel().tolist()
    [1.0, nan, 3.0, 9.0, 9.0]
    """
    observed = np.asarray(observed_degc_days, dtype=np.float64)
    heat = np.array(normal_degc_days, dtype=np.float64)
    if observed.shape[1:] != heat.shape[1:] or len(observed) > len(heat):
        message = f"observed has shape {observed.shape}, the normal year {heat.shape}"
        raise ValueError(message)
    is_later_seen = np.logical_or.accumulate(~np.isnan(observed)[::-1], axis=0)[::-1]
    heat[: len(observed)] = np.where(is_later_seen, observed, heat[: len(observed)])
    return heat


def _days_of_normals(
    tmin_degc: ArrayLike, tmax_degc: ArrayLike, days_in_year: int
) -> tuple[FloatArray, FloatArray]:
    tmin, tmax = _twelve_by_sites(tmin_degc, "tmin_degc"), _twelve_by_sites(tmax_degc, "tmax_degc")
    inverted = tmin > tmax
    if inverted.any():
        month, site = (int(index) for index in np.argwhere(inverted)[0])
        message = (
            f"the normal tmin is above tmax in {int(inverted.sum())} places, first in month {month + 1} of "
            f"site {site}: {tmin[month, site]} and {tmax[month, site]} degC"
        )
        raise ValueError(message)
    low, high = days_from_months(tmin, days_in_year), days_from_months(tmax, days_in_year)
    # Smooth curves through months with next to no range can cross by a hair between them.
    return np.minimum(low, high), np.maximum(low, high)


def _gauss_hermite(nodes: int) -> tuple[FloatArray, FloatArray]:
    """Return nodes and weights for the expectation over a standard normal variable."""
    places, weights = np.polynomial.hermite_e.hermegauss(nodes)
    return places, weights / weights.sum()


def _spread(spread_degc: ArrayLike | None, count: int) -> tuple[FloatArray, BoolArray]:
    if spread_degc is None:
        return np.zeros((MONTHS, count)), np.zeros(count, dtype=np.bool_)
    given = np.asarray(spread_degc, dtype=np.float64)
    if given.shape not in {(MONTHS,), (MONTHS, count)}:
        message = f"spread_degc has shape {given.shape}; (12,) or (12, {count}) is needed"
        raise ValueError(message)
    if (given < 0).any():
        message = f"a spread is negative ({np.nanmin(given)} degC)"
        raise ValueError(message)
    spread = np.broadcast_to(given[:, None] if given.ndim == 1 else given, (MONTHS, count))
    is_given = np.asarray(~np.isnan(spread).any(axis=0), dtype=np.bool_)
    return np.where(is_given, spread, 0.0), is_given


def _rows_before_start(model: HeatModel, days_in_year: int) -> int:
    year = 2000 if days_in_year == 366 else 2001
    return (model.start.on(year) - dt.date(year, 1, 1)).days


def _twelve_by_sites(monthly: ArrayLike, name: str) -> FloatArray:
    months = np.asarray(monthly, dtype=np.float64)
    if months.ndim != 2 or len(months) != MONTHS:
        message = f"{name} has shape {months.shape}; (12, sites) is needed"
        raise ValueError(message)
    return months
