"""The plane a frame lies on."""

import geopandas as gpd
from pyproj import CRS


def plane_of(frame: gpd.GeoDataFrame) -> CRS:
    """Return the CRS of a frame that has one; the layers room gives every frame the working CRS."""
    if frame.crs is None:
        message = "a frame without a CRS reached a room that measures"
        raise ValueError(message)
    return CRS(frame.crs)
