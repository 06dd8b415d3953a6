"""Geometry for the page: longitude and latitude, rounded to six decimals (0.1 m)."""

from typing import Any

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geo_scout.formulas.longitudes import whole_near_to
from geo_scout.outputs.rings import rings_of

DECIMALS = 6
LINE_TOLERANCE_DEG = 2e-5  # about 2 m; roads, water and district edges only, patches keep every vertex
AREA = 2  # dimensions of a shape that covers ground


def polygons(geometries: NDArray[np.object_]) -> list[list[list[list[float]]]]:
    """Return each geometry's polygons as rings, each ring flat: longitude, latitude, longitude ... [deg].

    The first ring of a polygon is its outline, the others its holes. The closing vertex is left out.

    Examples
    --------
    >>> polygons(np.array([shapely.box(0, 0, 1, 2)]))
    [[[[1.0, 0.0, 1.0, 2.0, 0.0, 2.0, 0.0, 0.0]]]]
    """
    return [
        [[ring[:-1].ravel().tolist() for ring in rings] for rings in found]
        for found in rings_of(geometries, DECIMALS)
    ]


def points(geometries: gpd.GeoSeries) -> tuple[list[float | None], list[float | None]]:
    """Return one longitude and latitude per geometry, inside it where it has an area [deg]."""
    inside = shapely.point_on_surface(geometries.values)
    placed = gpd.GeoSeries(inside, crs=geometries.crs).to_crs("EPSG:4326")
    longitude_deg = [_rounded(value) for value in shapely.get_x(placed.values)]
    latitude_deg = [_rounded(value) for value in shapely.get_y(placed.values)]
    return longitude_deg, latitude_deg


def bare_collection(frame: gpd.GeoDataFrame, centre_deg: float = 0.0) -> dict[str, Any] | None:
    """Return all geometry of a layer as one GeoJSON feature without any attribute; None when empty.

    folium may be handed this: there is no text in it.

    Parameters
    ----------
    frame
        The layer.
    centre_deg
        Shapes are drawn within half a turn of this longitude, those across the 180th meridian in one piece
        [deg].
    """
    parts = _simple_parts(frame, centre_deg)
    if len(parts) == 0:
        return None
    return {"type": "FeatureCollection", "features": [_bare_feature(parts)]}


def lines_and_areas(frame: gpd.GeoDataFrame, centre_deg: float = 0.0) -> dict[str, Any] | None:
    """Return the same as one feature of the lines and one of the areas: a filled line would be an area."""
    parts = _simple_parts(frame, centre_deg)
    is_area = shapely.get_dimensions(parts) == AREA
    kinds = [kind for kind in (parts[~is_area], parts[is_area]) if len(kind)]
    if not kinds:
        return None
    return {"type": "FeatureCollection", "features": [_bare_feature(kind) for kind in kinds]}


def edges_once(frame: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return the outlines of areas as lines, an edge that two areas share drawn once.

    Drawn twice, the dashes of a shared edge would fill each other's gaps. Edges count as shared when they
    agree to half a metre.
    """
    lines = shapely.boundary(shapely.make_valid(list(frame.geometry.dropna())))
    once = shapely.line_merge(shapely.union_all(lines, grid_size=0.5))
    return gpd.GeoDataFrame(geometry=list(shapely.get_parts(once)), crs=frame.crs)


def _simple_parts(frame: gpd.GeoDataFrame, centre_deg: float) -> NDArray[np.object_]:
    placed = frame.geometry.to_crs("EPSG:4326").dropna()
    whole = whole_near_to(np.asarray(placed, dtype=object), centre_deg)
    parts: NDArray[np.object_] = shapely.get_parts(shapely.simplify(list(whole), LINE_TOLERANCE_DEG))
    drawn: NDArray[np.object_] = parts[~shapely.is_empty(parts)]
    return drawn


def _bare_feature(parts: NDArray[np.object_]) -> dict[str, Any]:
    rounded = shapely.transform(_gathered(parts), lambda positions: np.round(positions, DECIMALS))
    return {"type": "Feature", "properties": {}, "geometry": shapely.geometry.mapping(rounded)}


def _gathered(parts: NDArray[np.object_]) -> BaseGeometry:
    kinds = {part.geom_type for part in parts}
    if kinds == {"Polygon"}:
        return shapely.MultiPolygon(list(parts))
    if kinds == {"LineString"}:
        return shapely.MultiLineString(list(parts))
    return shapely.GeometryCollection(list(parts))


def _rounded(value: float) -> float | None:
    return round(float(value), DECIMALS) if np.isfinite(value) else None
