"""Distances, areas and positions on the WGS84 ellipsoid, and the season's working map projection."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from pyproj import CRS, Geod
from pyproj.crs import ProjectedCRS
from pyproj.crs.coordinate_operation import LambertAzimuthalEqualAreaConversion
from shapely.geometry.base import BaseGeometry

from geo_scout.formulas.side_by_side import in_parts
from geo_scout.formulas.transformers import transformer_between

FloatArray = NDArray[np.float64]
Geometries = Sequence[BaseGeometry | None] | NDArray[np.object_]

_WGS84 = Geod(ellps="WGS84")
# Below so many the search takes less time than a second thread to begin.
_FEW_SHAPES = 2_000
_M2_PER_HA = 10_000.0
_M_PER_KM = 1_000.0


def working_crs(longitude_deg: ArrayLike, latitude_deg: ArrayLike) -> CRS:
    """Return the equal-area projection in metres that is centred on the data.

    Lambert azimuthal equal-area on WGS84. The centre is the middle of the coordinates, rounded to whole
    degrees (halves upwards), so that a few added features seldom move it.

    Parameters
    ----------
    longitude_deg, latitude_deg
        Positions, for instance the corners of the layers' bounds, any shape; nan is ignored [deg].

    Returns
    -------
    pyproj.CRS
        Projected system, axes easting then northing [m].

    Raises
    ------
    ValueError
        No finite position was given, or a latitude lies outside -90 to 90.

    Notes
    -----
    The middle longitude is that of the shortest arc holding all longitudes. For the corners of a box this
    is their circular mean; unlike a mean it does not depend on where the features crowd, and data on both
    sides of the antimeridian get a centre near 180, not near 0.

    References
    ----------
    Snyder, J.P. 1987. Map Projections: A Working Manual. USGS Professional Paper 1395, chapter 24.

    Examples
    --------
    >>> working_crs([-117.9, -116.3], [46.1, 47.2]).name
    'Lambert azimuthal equal-area, centre -117 47'
    >>> working_crs([179.2, -178.6], [-17.0, -16.0]).name
    'Lambert azimuthal equal-area, centre -180 -16'
    """
    longitude, latitude = _positions(longitude_deg, latitude_deg)
    finite = np.isfinite(longitude) & np.isfinite(latitude)
    if not finite.any():
        message = "no finite coordinates to centre the working projection on"
        raise ValueError(message)
    longitude, latitude = longitude[finite], latitude[finite]
    if np.abs(latitude).max() > 90.0:
        message = f"latitude {latitude[np.abs(latitude).argmax()]:g} deg is outside -90 to 90"
        raise ValueError(message)
    centre_latitude = int(np.floor((latitude.min() + latitude.max()) / 2 + 0.5))
    centre_longitude = int(np.floor(_middle_of_shortest_arc(longitude) + 0.5))
    centre_longitude = (centre_longitude + 180) % 360 - 180
    return ProjectedCRS(
        conversion=LambertAzimuthalEqualAreaConversion(
            latitude_natural_origin=centre_latitude, longitude_natural_origin=centre_longitude
        ),
        name=f"Lambert azimuthal equal-area, centre {centre_longitude} {centre_latitude}",
        geodetic_crs=CRS.from_epsg(4326),
    )


def geodesic_km(
    longitude1_deg: ArrayLike, latitude1_deg: ArrayLike, longitude2_deg: ArrayLike, latitude2_deg: ArrayLike
) -> FloatArray:
    """Return the shortest distance over the WGS84 ellipsoid between pairs of positions.

    Parameters
    ----------
    longitude1_deg, latitude1_deg, longitude2_deg, latitude2_deg
        Positions, broadcast against each other [deg].

    Returns
    -------
    numpy.ndarray
        Distance, broadcast shape; nan where any coordinate is not finite [km].

    References
    ----------
    Karney, C.F.F. 2013. Algorithms for geodesics. Journal of Geodesy 87: 43-55.

    Examples
    --------
    >>> round(float(geodesic_km(-84.41375, 36.44625, -84.077917, 36.732917)), 6)
    43.762323
    """
    given = (longitude1_deg, latitude1_deg, longitude2_deg, latitude2_deg)
    arrays = np.broadcast_arrays(*(np.asarray(values, dtype=np.float64) for values in given))
    distance_km = np.full(arrays[0].shape, np.nan)
    finite = np.logical_and.reduce([np.isfinite(values) for values in arrays])
    if finite.any():
        start1, start2, end1, end2 = (values[finite] for values in arrays)
        _, _, distance_m = _WGS84.inv(start1, start2, end1, end2)
        distance_km[finite] = np.asarray(distance_m) / _M_PER_KM
    return distance_km


def edge_distance_km(geometries_a: Geometries, geometries_b: Geometries, crs: CRS) -> FloatArray:
    """Return the geodesic distance between the nearest points of pairs of shapes.

    The nearest points are found on the plane of `crs`; the distance between them is then measured on
    the ellipsoid, so the projection's scale does not enter the kilometres.

    Parameters
    ----------
    geometries_a, geometries_b
        Shapes in the coordinates of `crs`, same length or broadcastable.
    crs
        A projected system, for instance the one of `working_crs`.

    Returns
    -------
    numpy.ndarray
        Distance; 0 where the shapes touch or overlap, nan where either is missing or empty [km].

    Notes
    -----
    Nearest on the plane is not exactly nearest on the ellipsoid. With the projection of `working_crs` the
    distance is too long by at most about 1 part in 1,800 within 300 km of its centre, 1 in 160 within
    1,000 km (the ratio of its two scales, sec^2(c / 2) at the arc c). Where parallel sides make many pairs
    equally near on the plane one of them is taken, so exchanging the shapes can differ by as little.
    """
    shapes_a, shapes_b = np.broadcast_arrays(_shapes(geometries_a), _shapes(geometries_b))
    lines = np.asarray(shapely.shortest_line(shapes_a, shapes_b), dtype=object)
    distance_km = np.full(lines.shape, np.nan)
    known = ~(shapely.is_missing(lines) | shapely.is_empty(lines))
    if known.any():
        ends = shapely.get_coordinates(lines[known]).reshape(-1, 2, 2)
        longitude, latitude = transformer_between(crs, 4326).transform(ends[..., 0], ends[..., 1])
        distance_km[known] = geodesic_km(longitude[:, 0], latitude[:, 0], longitude[:, 1], latitude[:, 1])
    return distance_km


def nearest_edge(
    geometries: Geometries, targets: Geometries, crs: CRS
) -> tuple[NDArray[np.intp], FloatArray]:
    """Return for each shape which target is nearest, edge to edge, and how far it is.

    Parameters
    ----------
    geometries, targets
        Shapes in the coordinates of `crs`, (n,) and (m,).
    crs
        A projected system.

    Returns
    -------
    index : numpy.ndarray
        Position of the nearest target, (n,); of equally near ones the smallest position; -1 where the
        shape is missing or there is no target.
    distance_km : numpy.ndarray
        Geodesic distance between the nearest points, (n,); nan where `index` is -1 [km].
    """
    shapes, target_shapes = _shapes(geometries), _shapes(targets)
    tree = shapely.STRtree(target_shapes)

    def first_of_the_nearest(part: NDArray[np.object_]) -> NDArray[np.intp]:
        first = np.full(len(part), len(target_shapes), dtype=np.intp)
        np.minimum.at(first, *tree.query_nearest(part, all_matches=True))
        return first

    index = np.concatenate(in_parts(first_of_the_nearest, shapes, few=_FEW_SHAPES))
    index[index == len(target_shapes)] = -1
    distance_km = np.full(len(shapes), np.nan)
    has_target = index >= 0
    if has_target.any():
        distance_km[has_target] = edge_distance_km(shapes[has_target], target_shapes[index[has_target]], crs)
    return index, distance_km


def geodesic_area_ha(geometries_lonlat: Geometries) -> FloatArray:
    """Return the area of polygons on the WGS84 ellipsoid, holes taken off.

    Parameters
    ----------
    geometries_lonlat
        Valid polygons or multipolygons in longitude, latitude degrees, (n,). The direction in which a
        ring is drawn does not matter.

    Returns
    -------
    numpy.ndarray
        Area, (n,); 0 for empty shapes, points and lines; nan for missing shapes [ha].

    Notes
    -----
    Sides are geodesics between the stored vertices, not straight lines of any map. A ring that crosses
    the antimeridian is followed the short way; a ring around a pole is measured, too.

    References
    ----------
    Karney, C.F.F. 2013. Algorithms for geodesics. Journal of Geodesy 87: 43-55, section 6.

    Examples
    --------
    >>> geodesic_area_ha([shapely.box(0.0, 0.0, 1.0, 1.0)]).round(1).tolist()
    [1230877.8]
    """
    shapes = _shapes(geometries_lonlat)
    polygons, polygon_owner = _polygons(shapes)
    rings, ring_polygon = shapely.get_rings(polygons, return_index=True)
    coordinates, vertex_ring = shapely.get_coordinates(rings, return_index=True)
    edges = np.searchsorted(vertex_ring, np.arange(len(rings) + 1))
    signed_m2 = np.empty(len(rings))
    for ring, (first, last) in enumerate(pairwise(edges.tolist())):
        area_m2, _ = _WGS84.polygon_area_perimeter(coordinates[first:last, 0], coordinates[first:last, 1])
        is_outline = ring == 0 or ring_polygon[ring] != ring_polygon[ring - 1]
        signed_m2[ring] = abs(area_m2) if is_outline else -abs(area_m2)
    owner = polygon_owner[ring_polygon]
    area_ha = np.bincount(owner, weights=signed_m2, minlength=len(shapes)).astype(np.float64) / _M2_PER_HA
    area_ha[shapely.is_missing(shapes)] = np.nan
    return area_ha


def utm(longitude_deg: ArrayLike, latitude_deg: ArrayLike) -> tuple[NDArray[np.str_], FloatArray, FloatArray]:
    """Return the UTM zone, easting and northing of positions.

    Parameters
    ----------
    longitude_deg, latitude_deg
        Positions on WGS84, broadcast against each other [deg].

    Returns
    -------
    zone : numpy.ndarray
        Zone number and hemisphere, such as "11N" or "55S"; "" beyond 84 N or 80 S or where a coordinate
        is not finite.
    easting_m : numpy.ndarray
        Easting with the false easting of 500 km; nan where `zone` is "" [m].
    northing_m : numpy.ndarray
        Northing, with the false northing of 10,000 km in the south; nan where `zone` is "" [m].

    Notes
    -----
    The letter is the hemisphere, not the latitude band. South-west Norway (56-64 N, 3-12 E) is in zone 32
    and Svalbard (72-84 N) in zones 31, 33, 35 and 37, as on the printed grid.

    References
    ----------
    National Geospatial-Intelligence Agency 2014. Universal grids and the transverse Mercator and polar
    stereographic map projections. NGA.SIG.0012 (zone exceptions: from memory).

    Examples
    --------
    >>> zone, easting_m, northing_m = utm(-84.2, 36.58)
    >>> str(zone), float(easting_m.round(1)), float(northing_m.round(1))
    ('16N', 750525.7, 4051931.8)
    """
    longitude, latitude = np.broadcast_arrays(
        np.asarray(longitude_deg, dtype=np.float64), np.asarray(latitude_deg, dtype=np.float64)
    )
    zone = np.full(longitude.shape, "", dtype="<U3")
    easting_m, northing_m = np.full(longitude.shape, np.nan), np.full(longitude.shape, np.nan)
    on_grid = np.isfinite(longitude) & (latitude >= -80.0) & (latitude <= 84.0)
    number = np.zeros(longitude.shape, dtype=np.int64)
    number[on_grid] = _utm_zone_number(longitude[on_grid], latitude[on_grid])
    code = np.where(latitude < 0.0, -number, number)
    for signed_zone in np.unique(code[on_grid]).tolist():
        members = on_grid & (code == signed_zone)
        zone[members] = f"{abs(signed_zone)}{'S' if signed_zone < 0 else 'N'}"
        to_grid = transformer_between(4326, (32700 if signed_zone < 0 else 32600) + abs(signed_zone))
        easting_m[members], northing_m[members] = to_grid.transform(longitude[members], latitude[members])
    return zone, easting_m, northing_m


def _utm_zone_number(longitude: FloatArray, latitude: FloatArray) -> NDArray[np.int64]:
    wrapped = (longitude + 180.0) % 360.0 - 180.0
    number = np.clip(np.floor((wrapped + 180.0) / 6.0).astype(np.int64) + 1, 1, 60)
    number[(latitude >= 56.0) & (latitude < 64.0) & (wrapped >= 3.0) & (wrapped < 12.0)] = 32
    svalbard = (latitude >= 72.0) & (wrapped >= 0.0) & (wrapped < 42.0)
    eastern_edge_passed = np.searchsorted([9.0, 21.0, 33.0], wrapped[svalbard], side="right")
    number[svalbard] = 31 + 2 * eastern_edge_passed
    return number


def _middle_of_shortest_arc(longitude: FloatArray) -> float:
    ordered = np.unique((longitude + 180.0) % 360.0 - 180.0)
    gaps = np.diff(np.append(ordered, ordered[0] + 360.0))
    widest = int(gaps.argmax())
    # The data's arc starts after the widest gap and ends, once round, before it.
    west = ordered[(widest + 1) % len(ordered)]
    return float(west + (360.0 - gaps[widest]) / 2)


def _positions(longitude_deg: ArrayLike, latitude_deg: ArrayLike) -> tuple[FloatArray, FloatArray]:
    longitude, latitude = np.broadcast_arrays(
        np.asarray(longitude_deg, dtype=np.float64), np.asarray(latitude_deg, dtype=np.float64)
    )
    return longitude.ravel(), latitude.ravel()


def _shapes(geometries: Geometries) -> NDArray[np.object_]:
    return np.atleast_1d(np.asarray(geometries, dtype=object))


def _polygons(shapes: NDArray[np.object_]) -> tuple[NDArray[np.object_], NDArray[np.intp]]:
    """Take collections apart until only single shapes are left, and keep the polygons."""
    parts, owner = shapes, np.arange(len(shapes))
    while (shapely.get_type_id(parts) > shapely.GeometryType.POLYGON).any():
        parts, index = shapely.get_parts(parts, return_index=True)
        owner = owner[index]
    is_polygon = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    return parts[is_polygon], owner[is_polygon]
