"""Where a record stands in a public copy: at its patch, never finer."""

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.model.plane import plane_of
from geo_scout.model.result import SeasonResult

WGS84 = "EPSG:4326"
PLACE_OF_PATCH, COARSE = "place of the patch", "rounded to 0.01 degrees"
_COARSE_DECIMALS = 2


def public_places(
    result: SeasonResult, agent: str, records: gpd.GeoDataFrame
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.object_]]:
    """Return longitude, latitude and how they are rounded: the printed place of the patch, else 0.01 deg.

    Parameters
    ----------
    result
        What the run found.
    agent
        Name of the agent whose records they are.
    records
        Releases, visits or populations with ``site_id``, "" outside every patch.

    Returns
    -------
    longitude_deg, latitude_deg, note : numpy.ndarray
        (n,) each [deg].
    """
    host = next(profile.host for profile in result.season.agents if profile.name == agent)
    patches = result.sites[host].patches.set_index("site_id")
    points = records.geometry.to_crs(WGS84).representative_point()
    at = patches.index.get_indexer(pd.Index(records["site_id"]))
    inside = at >= 0
    longitude_deg, latitude_deg = (
        np.where(
            inside,
            np.append(patches[name].to_numpy(dtype=np.float64), np.nan)[at],
            np.round(own.to_numpy(dtype=np.float64), _COARSE_DECIMALS),
        )
        for name, own in (("longitude_deg", points.x), ("latitude_deg", points.y))
    )
    note = np.where(inside, PLACE_OF_PATCH, COARSE).astype(object)
    return longitude_deg, latitude_deg, note


def at_public_places(result: SeasonResult, agent: str, records: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return records moved to their public places, in their own reference system.

    Populations that fill a patch keep its outline, which a public copy shows anyway.
    """
    longitude_deg, latitude_deg, _ = public_places(result, agent, records)
    placed = gpd.GeoSeries(gpd.points_from_xy(longitude_deg, latitude_deg), crs=WGS84)
    points = placed.to_crs(plane_of(records))
    own = records.geometry.to_numpy()
    is_outline = np.isin(shapely.get_type_id(own), [3, 6])
    return records.set_geometry(
        gpd.GeoSeries(np.where(is_outline, own, points.to_numpy()), index=records.index, crs=records.crs)
    )
