"""How likely the agent arrives in a place from the others, year by year."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.evidence.places import Places
from geo_scout.formulas.dispersal import half_distance_km, reach, reach_from_curve
from geo_scout.formulas.edge_gaps import Outlines, draw_outlines, measure_gaps_m
from geo_scout.formulas.presence import arrival_hazard, log_not_reached
from geo_scout.model.agent import Spread
from geo_scout.model.years import DAYS_PER_YEAR

PAIRS_AT_ONCE = 5_000_000
"""Most pairs of a place and an origin that are looked at together."""
AT_THE_ORIGIN_KM = 1e-300
"""Scale of the reach before the agent moves: 1 at the origin, 0 anywhere else [km]."""
SMALLEST_PRODUCT = 1e-250


@dataclass(frozen=True)
class Origins:
    """Places where the agent was released or found, and the chance that it ever took there.

    Parameters
    ----------
    place
        (m,) number of the place.
    started
        (m,) day of its first release or find.
    ended
        (m,) day of the loss after which nothing was released or found there; NaT none. What has spread by
        then counts on, but spreads no further from there.
    took_share
        (m, 3) chance that the agent ever took there, low, best, high [share].
    uncertainty_m
        (m,) how far the agents may have been from where they are written down [m].
    """

    place: NDArray[np.intp]
    started: NDArray[np.datetime64]
    ended: NDArray[np.datetime64]
    took_share: NDArray[np.float64]
    uncertainty_m: NDArray[np.float64]


@dataclass(frozen=True)
class Pairs:
    """Places and the origins near them.

    Parameters
    ----------
    target
        (p,) number of the place among those asked for.
    origin
        (p,) number of the origin.
    gap_km
        (p,) distance edge to edge [km].
    """

    target: NDArray[np.intp]
    origin: NDArray[np.intp]
    gap_km: NDArray[np.float64]


def can_spread(spread: Spread) -> bool:
    """Return whether the profile says how the agent spreads, and how far at most."""
    return spread.max_spread_km is not None and (spread.km_per_yr is not None or spread.curve is not None)


def year_ends(years: Sequence[int], as_of: np.datetime64) -> NDArray[np.datetime64]:
    """Return the day up to which each year counts: its last, and ``as_of`` of the year it is in."""
    ends = np.array([f"{year:04d}-12-31" for year in years], dtype="datetime64[D]")
    return np.asarray(np.minimum(ends, as_of))


def measure_hazards(
    places: Places,
    targets: NDArray[np.intp],
    origins: Origins,
    spread: Spread,
    ends: NDArray[np.datetime64],
) -> NDArray[np.float64]:
    """Return the chance that the agent arrives in each place from others in each year.

    Parameters
    ----------
    places
        All places.
    targets
        (t,) numbers of those asked for.
    origins
        Where the agent may come from; a place is no origin of its own.
    spread
        How it spreads; a profile that does not say gives no arrivals.
    ends
        (y,) day up to which each year counts.

    Returns
    -------
    numpy.ndarray
        (y, t, 3) hazard for the lowest, best and highest chance [share].
    """
    hazard = np.zeros((len(ends), len(targets), 3))
    if not can_spread(spread) or len(origins.place) == 0:
        return hazard
    fading = [_fading_per_km(spread, years_of_spread(origins, end)) for end in ends]
    for first, last, pairs in near_pairs(places, targets, origins, reach_limit_km(spread)):
        gap_km = [distance_km(pairs, origins, level) for level in range(3)]
        for gap in gap_km:
            gap[gap > reach_limit_km(spread)] = np.inf
        took = [origins.took_share[pairs.origin, level] for level in range(3)]
        started = origins.started[pairs.origin]
        before = np.zeros((last - first, 3))
        for year, end in enumerate(ends):
            begun = np.flatnonzero(started <= end)
            if len(begun) == 0:
                continue
            target, fading_per_km = pairs.target[begun] - first, fading[year][:, pairs.origin[begun]]
            begin = np.flatnonzero(np.r_[True, target[1:] != target[:-1]])
            now = np.zeros((last - first, 3))
            for level in range(3):
                arrived = np.exp(-gap_km[level][begun] * fading_per_km[level]) * took[level][begun]
                now[target[begin], level] = _log_none_arrived(arrived, begin)
            hazard[year, first:last] = arrival_hazard(before, now)
            before = now
    return hazard


def reach_limit_km(spread: Spread) -> float:
    """Return how far the agent spreads at most; 0 where the profile does not say how [km]."""
    return (
        0.0 if spread.max_spread_km is None or not can_spread(spread) else float(spread.max_spread_km.value)
    )


def near_pairs(
    places: Places, targets: NDArray[np.intp], origins: Origins, max_km: float
) -> Iterator[tuple[int, int, Pairs]]:
    """Yield places (from, up to) with every origin that may reach them, its uncertainty allowed for."""
    outlines = draw_outlines(places.shapes)
    west, south, east, north = shapely.bounds(places.shapes[origins.place]).reshape(-1, 4).T
    far_m = max_km * 1000 + origins.uncertainty_m
    tree = shapely.STRtree(shapely.box(west - far_m, south - far_m, east + far_m, north + far_m))
    rows_at_once = max(1, PAIRS_AT_ONCE // len(origins.place))
    for first in range(0, len(targets), rows_at_once):
        some = targets[first : first + rows_at_once]
        yield first, first + len(some), _pairs(tree, places, some, first, origins, outlines, max_km)


def _pairs(
    tree: shapely.STRtree,
    places: Places,
    targets: NDArray[np.intp],
    first: int,
    origins: Origins,
    outlines: Outlines,
    max_km: float,
) -> Pairs:
    target, origin = tree.query(places.shapes[targets])
    other = origins.place[origin] != targets[target]
    target, origin = target[other], origin[other]
    order = np.lexsort((origin, target))
    target, origin = target[order], origin[order]
    gap_km = measure_gaps_m(outlines, targets[target], origins.place[origin]) / 1000
    near = gap_km - origins.uncertainty_m[origin] / 1000 <= max_km
    return Pairs(target[near] + first, origin[near], gap_km[near])


def _fading_per_km(spread: Spread, years: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return by how much the logarithm of each origin's reach falls with the distance, (3, m) [1/km].

    Rows are for the lowest, best and highest chance: the faster the agent, the slower its reach falls.

    The reach of `reach_of` is the exponential of it: one multiplication for every pair and year, where only
    origins and years need the rest.
    """
    if spread.curve is not None:
        curve = spread.curve
        span = curve.fitted_from_years, curve.fitted_to_years
        half_km = half_distance_km(years, curve.ln_km_per_yr, curve.ln_km_at_start, *span)
        return np.tile(np.log(2.0) / half_km, (3, 1))
    rates = (0.0, 0.0, 0.0) if spread.km_per_yr is None else spread.km_per_yr.low_best_high
    moving_years = np.maximum(0.0, years - float(spread.lag_years.value))
    scale_km = np.asarray(rates, dtype=np.float64)[:, np.newaxis] * moving_years
    return np.asarray(1.0 / np.maximum(scale_km, AT_THE_ORIGIN_KM))


def _log_none_arrived(arrived: NDArray[np.float64], begin: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return the sum of ln(1 - P h) over each place's origins, which stand together from `begin` on."""
    product = np.multiply.reduceat(1.0 - arrived, begin)
    logs = np.log(np.maximum(product, SMALLEST_PRODUCT))
    is_sure = product <= SMALLEST_PRODUCT  # there the product says no more how sure
    if is_sure.any():
        logs[is_sure] = np.add.reduceat(log_not_reached(arrived, 1.0), begin)[is_sure]
    return logs


def distance_km(pairs: Pairs, origins: Origins, level: int) -> NDArray[np.float64]:
    """Return the distance as far as it may be for the lowest chance, as near for the highest [km]."""
    doubt_km = (1 - level) * origins.uncertainty_m[pairs.origin] / 1000
    return np.maximum(0.0, pairs.gap_km + doubt_km)


def years_of_spread(origins: Origins, end: np.datetime64) -> NDArray[np.float64]:
    """Return the years from the start of each origin to its loss or a day; negative before [years]."""
    days = (np.fmin(origins.ended, end) - origins.started) / np.timedelta64(1, "D")
    return np.asarray(days / DAYS_PER_YEAR, dtype=np.float64)


def reach_of(spread: Spread, gap_km: NDArray[np.float64], years: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the reach of origins so far away, so many years after their start; 0 before it [share]."""
    max_km = reach_limit_km(spread)
    if spread.curve is not None:
        curve = spread.curve
        share = reach_from_curve(
            gap_km,
            years,
            curve.ln_km_per_yr,
            curve.ln_km_at_start,
            curve.fitted_from_years,
            curve.fitted_to_years,
            max_km,
        )
    else:
        rate = 0.0 if spread.km_per_yr is None else float(spread.km_per_yr.value)
        share = reach(gap_km, years, rate, float(spread.lag_years.value), max_km)
    return np.where(years >= 0, share, 0.0)
