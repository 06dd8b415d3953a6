"""Which patches of an earlier season a patch comes from."""

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray

SAME_GROUND_SHARE = 0.1
"""Overlap, as a share of the smaller patch, from which one patch comes from another. Our choice."""


def find_predecessors(patches: gpd.GeoDataFrame, previous: gpd.GeoDataFrame | None) -> NDArray[np.object_]:
    """Return, per patch, the earlier site_ids it comes from when they are not simply its own.

    Parameters
    ----------
    patches
        Patches with ``site_id`` and ``host`` in a planar CRS [m].
    previous
        Patches of an earlier run with ``site_id`` and ``host``, same CRS; None without one.

    Returns
    -------
    numpy.ndarray
        (n,) ids parted by "; "; "" where the patch kept its id, is new, or there is no earlier run.
    """
    found: list[list[str]] = [[] for _ in range(len(patches))]
    if previous is not None and len(previous):
        # Outlines that went through a file in degrees may come back crossing themselves.
        shapes, earlier = patches.geometry.to_numpy(), shapely.make_valid(previous.geometry.to_numpy())
        now, then = shapely.STRtree(earlier).query(shapes, predicate="intersects")
        shared = shapely.area(shapely.intersection(shapes[now], earlier[then]))
        smaller = np.minimum(shapely.area(shapes[now]), shapely.area(earlier[then]))
        same_host = patches["host"].to_numpy()[now] == previous["host"].to_numpy()[then]
        for i, j in zip(
            *(pair[same_host & (shared >= SAME_GROUND_SHARE * smaller)] for pair in (now, then)), strict=True
        ):
            found[i].append(str(previous["site_id"].iloc[j]))
    own = patches["site_id"].astype(str)
    lists = [sorted(ids) if sorted(ids) != [site] else [] for ids, site in zip(found, own, strict=True)]
    return np.array(["; ".join(ids) for ids in lists], dtype=object)
