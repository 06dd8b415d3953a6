"""Host that an agent released in one patch could reach by itself."""

from collections.abc import Iterator

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.dispersal import reach, reach_from_curve
from geo_scout.formulas.edge_gaps import draw_outlines, measure_gaps_m
from geo_scout.model.agent import Spread

PAIRS_AT_ONCE = 1_000_000


def host_around(patches: gpd.GeoDataFrame, spread: Spread, horizon_years: float) -> NDArray[np.float64]:
    """Return the infested area of other patches weighted by the agent's reach [ha].

    Parameters
    ----------
    patches, spread, horizon_years
        As in `host_around_range`.

    Returns
    -------
    numpy.ndarray
        (n,) its best column [ha].
    """
    return host_around_range(patches, spread, horizon_years)[:, 1]


def host_around_range(patches: gpd.GeoDataFrame, spread: Spread, horizon_years: float) -> NDArray[np.float64]:
    """Return the lowest, best and highest infested area of other patches weighted by the agent's reach [ha].

    Parameters
    ----------
    patches
        Patches with ``infested_ha`` in a planar CRS [m], and with ``infested_low_ha`` and
        ``infested_high_ha``, whose ends all others then have alike. Unknown cover counts nothing at best,
        and anything it can be at the ends.
    spread
        The agent's spread; without a rate or curve the answer is nan.
    horizon_years
        Years of spread that count [years].

    Returns
    -------
    numpy.ndarray
        (n, 3) sum of A_k h(d_k, horizon) over the other patches within ``max_spread_km`` [ha].

    Notes
    -----
    Distances are edge to edge on the map plane.
    """
    if spread.max_spread_km is None or (spread.km_per_yr is None and spread.curve is None):
        return np.full((len(patches), 3), np.nan)
    max_km = float(spread.max_spread_km.value)
    outlines = draw_outlines(patches.geometry.to_numpy())
    areas_ha = _areas_ha(patches)
    count = len(patches)
    total = np.zeros((count, len(areas_ha)))
    for one, other in _near_pairs(outlines.shapes, max_km * 1000):
        weight = _reach(spread, measure_gaps_m(outlines, one, other) / 1000, horizon_years, max_km)
        for column, area_ha in enumerate(areas_ha):
            total[:, column] += np.bincount(one, area_ha[other] * weight, minlength=count)
            total[:, column] += np.bincount(other, area_ha[one] * weight, minlength=count)
    return total


def _areas_ha(patches: gpd.GeoDataFrame) -> list[NDArray[np.float64]]:
    """Return the lowest, best and highest infested area that each patch counts with [ha]."""
    best = np.nan_to_num(patches["infested_ha"].to_numpy(dtype=np.float64))
    low, high = (
        patches[name].to_numpy(dtype=np.float64) if name in patches else best
        for name in ("infested_low_ha", "infested_high_ha")
    )
    # What is known of a patch with an unknown part is no end below its best, which counts nothing.
    return [np.fmin(low, best), best, np.fmax(high, best)]


def host_around_parts(
    patches: gpd.GeoDataFrame, spread: Spread, horizon_years: float, index: int
) -> pd.DataFrame:
    """Return what each other patch adds to the host around one of them, most first.

    Parameters
    ----------
    patches, spread, horizon_years
        As in `host_around`.
    index
        Row of the patch.

    Returns
    -------
    pandas.DataFrame
        ``site_id``, ``distance_km``, ``infested_ha``, ``reach_share`` and ``adds_ha``; empty where the spread
        is not known or nothing lies within it.
    """
    if spread.max_spread_km is None or (spread.km_per_yr is None and spread.curve is None):
        return pd.DataFrame(columns=["site_id", "distance_km", "infested_ha", "reach_share", "adds_ha"])
    outlines = draw_outlines(patches.geometry.to_numpy())
    other = np.flatnonzero(np.arange(len(patches)) != index)
    distance_km = measure_gaps_m(outlines, np.full(len(other), index), other) / 1000
    share = _reach(spread, distance_km, horizon_years, float(spread.max_spread_km.value))
    area_ha = np.nan_to_num(patches["infested_ha"].to_numpy(dtype=np.float64)[other])
    parts = pd.DataFrame(
        {
            "site_id": patches["site_id"].to_numpy()[other],
            "distance_km": distance_km,
            "infested_ha": area_ha,
            "reach_share": share,
            "adds_ha": area_ha * share,
        }
    )
    order = parts[parts["adds_ha"] > 0].sort_values(["adds_ha", "site_id"], ascending=[False, True])
    return order.reset_index(drop=True)


def _near_pairs(
    shapes: NDArray[np.object_], max_m: float
) -> Iterator[tuple[NDArray[np.intp], NDArray[np.intp]]]:
    """Yield each pair whose bounds come within the distance, once, some hundred thousand at a time."""
    tree = shapely.STRtree(shapes)
    rows_at_once = max(1, PAIRS_AT_ONCE // max(1, len(shapes)))
    west, south, east, north = shapely.bounds(shapes).reshape(-1, 4).T
    around = shapely.box(west - max_m, south - max_m, east + max_m, north + max_m)
    for start in range(0, len(shapes), rows_at_once):
        one, other = tree.query(around[start : start + rows_at_once])
        one = one + start
        yield one[one < other], other[one < other]


def _reach(
    spread: Spread, distance_km: NDArray[np.float64], years: float, max_km: float
) -> NDArray[np.float64]:
    if spread.curve is not None:
        curve = spread.curve
        return reach_from_curve(
            distance_km,
            years,
            curve.ln_km_per_yr,
            curve.ln_km_at_start,
            curve.fitted_from_years,
            curve.fitted_to_years,
            max_km,
        )
    rate = 0.0 if spread.km_per_yr is None else float(spread.km_per_yr.value)
    return reach(distance_km, years, rate, float(spread.lag_years.value), max_km)
