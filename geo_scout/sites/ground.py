"""The ground under a frame: its plane, and what is left of a shape after cutting."""

import geopandas as gpd
import shapely
from pyproj import CRS
from shapely.geometry import MultiPolygon, Polygon

CRUMB_M2 = 1.0
"""Parts smaller than this are drawing noise, not infestation."""


def only_ground(shape: shapely.Geometry) -> Polygon | MultiPolygon:
    """Return the polygons of a shape that are not crumbs; an empty polygon when none is.

    Parameters
    ----------
    shape
        Any geometry in planar metres.
    """
    parts = shapely.get_parts(shapely.get_parts(shape))
    is_polygon = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    ground = parts[is_polygon & (shapely.area(parts) >= CRUMB_M2)]
    if len(ground) == 0:
        return Polygon()
    return MultiPolygon(list(ground)) if len(ground) > 1 else Polygon(ground[0])


def plane_of(frame: gpd.GeoDataFrame) -> CRS:
    """Return the CRS of a frame that has one; the layers room gives every frame the working CRS."""
    if frame.crs is None:
        message = "a frame without a CRS reached the sites room"
        raise ValueError(message)
    return CRS(frame.crs)
