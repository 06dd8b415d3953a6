"""Host that an agent released in one patch could reach by itself."""

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.dispersal import reach, reach_from_curve
from geo_scout.model.agent import Spread

PAIRS_AT_ONCE = 200_000


def host_around(patches: gpd.GeoDataFrame, spread: Spread, horizon_years: float) -> NDArray[np.float64]:
    """Return the infested area of other patches weighted by the agent's reach [ha].

    Parameters
    ----------
    patches
        Patches with ``infested_ha`` in a planar CRS [m]; unknown cover counts nothing.
    spread
        The agent's spread; without a rate or curve the answer is nan.
    horizon_years
        Years of spread that count [years].

    Returns
    -------
    numpy.ndarray
        (n,) sum of A_k h(d_k, horizon) over the other patches within ``max_spread_km`` [ha].
    """
    if spread.max_spread_km is None or (spread.km_per_yr is None and spread.curve is None):
        return np.full(len(patches), np.nan)
    max_km = float(spread.max_spread_km.value)
    shapes = patches.geometry.to_numpy()
    area_ha = np.nan_to_num(patches["infested_ha"].to_numpy(dtype=np.float64))
    total = np.zeros(len(patches))
    tree = shapely.STRtree(shapes)
    rows_at_once = max(1, PAIRS_AT_ONCE // max(1, len(patches)))
    for start in range(0, len(patches), rows_at_once):
        rows = np.arange(start, min(start + rows_at_once, len(patches)))
        here, other = tree.query(shapes[rows], predicate="dwithin", distance=max_km * 1000)
        here = rows[here]
        here, other = here[here != other], other[here != other]
        distance_km = shapely.distance(shapes[here], shapes[other]) / 1000
        weight = _reach(spread, distance_km, horizon_years, max_km)
        np.add.at(total, here, area_ha[other] * weight)
    return total


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
