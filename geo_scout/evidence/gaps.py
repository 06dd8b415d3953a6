"""Whether the way from the nearest confirmed population is one the agent crosses by itself."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.agent import Spread


def cross_gaps(distance_km: NDArray[np.float64], spread: Spread) -> NDArray[np.object_]:
    """Return "yes", "no" or "not known" for each patch, "" where no population is confirmed.

    Parameters
    ----------
    distance_km
        Distance edge to edge to the nearest confirmed population; nan without one [km].
    spread
        The agent's; ``largest_gap_km`` decides, else ``max_spread_km``, and without either only a population
        in the patch itself is told.
    """
    limit = spread.largest_gap_km or spread.max_spread_km
    if limit is None:
        crossed = np.where(distance_km == 0, "yes", "not known")
    else:
        crossed = np.where(distance_km <= float(limit.value), "yes", "no")
    return np.where(np.isnan(distance_km), "", crossed).astype(object)
