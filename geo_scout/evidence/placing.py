"""Which patch a point record belongs to."""

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray

POSITION_FLOOR_M = 30.0
"""Uncertainty of a position that states none [m].

A fair floor for satellite positions since 2000-05-01 (Darwin Core, coordinateUncertaintyInMeters).
"""


NEAR_RELEASE_M = 1000.0
"""How far from its release a visit outside every patch counts for the release's patch [m]. Our choice."""


def place_records(records: gpd.GeoDataFrame | None, patches: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return records with ``site_id``: the nearest patch within the position's uncertainty, or "".

    Parameters
    ----------
    records
        Points with ``coordinate_uncertainty_m`` (nan: 30 m) in the CRS of the patches; None makes an
        empty table.
    patches
        Patches with ``site_id`` in a planar CRS [m].
    """
    if records is None:
        return empty_records(patches)
    uncertainty = records["coordinate_uncertainty_m"].to_numpy(dtype=np.float64)
    tolerance = np.where(np.isnan(uncertainty), POSITION_FLOOR_M, uncertainty)
    return records.assign(site_id=nearest_patch(records, patches, tolerance))


def at_their_releases(visits: gpd.GeoDataFrame, releases: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return visits, those outside every patch in the patch of the release they name, if it is near.

    Parameters
    ----------
    visits, releases
        Records with ``site_id``, "" outside every patch, in one planar CRS [m].

    Notes
    -----
    Who looks for a release looks around it, and the outline of a patch is no fence. Farther off than
    `NEAR_RELEASE_M` the visit stays where it is.
    """
    put = releases.drop_duplicates("release_id").set_index("release_id")
    named = put.reindex(visits["release_id"])
    outside = (visits["site_id"] == "").to_numpy() & named["site_id"].notna().to_numpy()
    outside &= (named["site_id"] != "").to_numpy()
    gap_m = shapely.distance(visits.geometry.to_numpy(), named.geometry.to_numpy())
    joins = outside & (np.nan_to_num(gap_m, nan=np.inf) <= NEAR_RELEASE_M)
    return visits.assign(site_id=np.where(joins, named["site_id"].to_numpy(), visits["site_id"].to_numpy()))


def nearest_patch(
    points: gpd.GeoDataFrame, patches: gpd.GeoDataFrame, tolerance_m: NDArray[np.float64]
) -> NDArray[np.object_]:
    """Return the site_id of the nearest patch within each point's tolerance; "" beyond it.

    Ties go to the smallest site_id (patches are sorted by it).
    """
    site_id = np.full(len(points), "", dtype=object)
    if len(patches) == 0 or len(points) == 0:
        return site_id
    shapes = points.geometry.to_numpy()
    point, patch = shapely.STRtree(patches.geometry.to_numpy()).query_nearest(shapes)
    order = np.lexsort((patch, point))
    first = order[np.r_[True, np.diff(point[order]) > 0]]
    point, patch = point[first], patch[first]
    gap_m = shapely.distance(shapes[point], patches.geometry.to_numpy()[patch])
    near = gap_m <= tolerance_m[point]
    site_id[point[near]] = patches["site_id"].to_numpy()[patch[near]]
    return site_id


def empty_records(patches: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return a table of releases and visits with every column and no row."""
    text = ("release_id", "visit_id", "release_link", "agent", "life_stage", "source_site", "purpose",
            "permit", "method", "sign", "observer", "voucher", "site_id")  # fmt: skip
    numbers = ("number", "effort_hours", "count", "counted_area_m2", "host_cover_pct",
               "coordinate_uncertainty_m")  # fmt: skip
    frame = gpd.GeoDataFrame(
        {name: np.array([], dtype=object) for name in text}
        | {name: np.array([], dtype=np.float64) for name in numbers},
        geometry=[],
        crs=patches.crs,
    )
    no_day = np.array([], dtype="datetime64[s]")
    return frame.assign(date=no_day, release_date=no_day, found=np.array([], dtype=bool))
