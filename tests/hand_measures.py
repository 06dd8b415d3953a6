"""The plain, slow ways to a place, a county, an area and a distance: no shapely, no pyproj, no GDAL.

They serve as second routes to numbers that geo_scout prints. Geodesics come from geographiclib; the rest is written
out here.
"""

import struct
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from geographiclib.geodesic import Geodesic
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]
Ring = NDArray[np.float64]

WGS84_M, FLATTENING = 6378137.0, 1 / 298.257223563
CENTRAL_SCALE, FALSE_EASTING_M = 0.9996, 500_000.0


def read_shapefile(path: Path) -> list[tuple[dict[str, str], list[Ring]]]:
    """Return the attributes and rings of each polygon, byte by byte.

    References
    ----------
    Environmental Systems Research Institute 1998. ESRI Shapefile Technical Description, pages 4-9; the
    dBASE table as it is commonly described (from memory).
    """
    stored, at, shapes = path.read_bytes(), 100, []
    while at < len(stored):
        (words,) = struct.unpack(">i", stored[at + 4 : at + 8])
        content = stored[at + 8 : at + 8 + 2 * words]
        (kind,) = struct.unpack("<i", content[:4])
        assert kind == 5
        part_count, point_count = struct.unpack("<2i", content[36:44])
        starts = np.frombuffer(content, "<i4", part_count, 44)
        points = np.frombuffer(content, "<f8", 2 * point_count, 44 + 4 * part_count).reshape(-1, 2)
        shapes.append(np.split(points, starts[1:]))
        at += 8 + 2 * words
    return list(zip(_read_dbase(path.with_suffix(".dbf")), shapes, strict=True))


def _read_dbase(path: Path) -> list[dict[str, str]]:
    stored = path.read_bytes()
    row_count, header, width = struct.unpack("<IHH", stored[4:12])
    fields, at, column = [], 32, 1
    while stored[at] != 0x0D:
        name, size = stored[at : at + 11].split(b"\0")[0].decode("ascii"), stored[at + 16]
        fields.append((name, column, column + size))
        at, column = at + 32, column + size
    rows = (stored[header + width * row : header + width * (row + 1)] for row in range(row_count))
    return [{name: row[a:b].decode("latin-1").strip() for name, a, b in fields} for row in rows]


def lies_inside(
    rings: Sequence[Ring], longitude_deg: ArrayLike, latitude_deg: ArrayLike
) -> NDArray[np.bool_]:
    """Return whether places lie inside rings: a ray to the east crosses them an odd number of times."""
    east, north = np.atleast_1d(longitude_deg), np.atleast_1d(latitude_deg)
    inside = np.zeros(east.shape, dtype=bool)
    for ring in rings:
        box = (east <= ring[:, 0].max()) & (north >= ring[:, 1].min()) & (north <= ring[:, 1].max())
        if not box.any():
            continue
        (x1, y1), (x2, y2) = ring[:-1].T, ring[1:].T
        height = north[box][:, None]
        spans = (y1 > height) != (y2 > height)
        with np.errstate(divide="ignore", invalid="ignore"):
            crossing = x1 + (height - y1) / (y2 - y1) * (x2 - x1)
        inside[box] ^= (spans & (crossing > east[box][:, None])).sum(axis=1) % 2 == 1
    return inside


def utm_to_degrees(easting_m: Numbers, northing_m: Numbers, meridian_deg: float) -> tuple[Numbers, Numbers]:
    """Return longitude and latitude of northern UTM coordinates on WGS 84, by Krueger's series to n^4.

    References
    ----------
    Karney, C.F.F. 2011. Transverse Mercator with an accuracy of a few nanometers. Journal of Geodesy 85: 475-485,
    equations 11, 12, 14, 15, 25 and 36; the latitude by the series in 2n of its conformal latitude (from memory).
    """
    n = FLATTENING / (2 - FLATTENING)
    rectifying_m = WGS84_M / (1 + n) * (1 + n**2 / 4 + n**4 / 64)
    beta = (
        n / 2 - 2 * n**2 / 3 + 37 * n**3 / 96 - n**4 / 360,
        n**2 / 48 + n**3 / 15 - 437 * n**4 / 1440,
        17 * n**3 / 480 - 37 * n**4 / 840,
        4397 * n**4 / 161280,
    )
    delta = (
        2 * n - 2 * n**2 / 3 - 2 * n**3 + 116 * n**4 / 45,
        7 * n**2 / 3 - 8 * n**3 / 5 - 227 * n**4 / 45,
        56 * n**3 / 15 - 136 * n**4 / 35,
        4279 * n**4 / 630,
    )
    xi = northing_m / (CENTRAL_SCALE * rectifying_m)
    eta = (easting_m - FALSE_EASTING_M) / (CENTRAL_SCALE * rectifying_m)
    plain_xi, plain_eta = xi.copy(), eta.copy()
    for j, b in enumerate(beta, 1):
        plain_xi -= b * np.sin(2 * j * xi) * np.cosh(2 * j * eta)
        plain_eta -= b * np.cos(2 * j * xi) * np.sinh(2 * j * eta)
    conformal = np.arcsin(np.sin(plain_xi) / np.cosh(plain_eta))
    latitude = conformal + sum(d * np.sin(2 * j * conformal) for j, d in enumerate(delta, 1))
    longitude = np.arctan2(np.sinh(plain_eta), np.cos(plain_xi))
    return meridian_deg + np.degrees(longitude), np.degrees(latitude)


def geodesic_m(
    longitude1_deg: float, latitude1_deg: float, longitude2_deg: float, latitude2_deg: float
) -> float:
    """Return the distance on the WGS 84 ellipsoid [m]."""
    answer = Geodesic.WGS84.Inverse(
        latitude1_deg, longitude1_deg, latitude2_deg, longitude2_deg, Geodesic.DISTANCE
    )
    return float(answer["s12"])


def ring_ha(ring: ArrayLike) -> float:
    """Return the area within a ring of longitudes and latitudes on the WGS 84 ellipsoid [ha]."""
    polygon = Geodesic.WGS84.Polygon()
    for longitude_deg, latitude_deg in np.asarray(ring)[:-1]:
        polygon.AddPoint(latitude_deg, longitude_deg)
    return abs(float(polygon.Compute()[2])) / 10_000.0


def polygon_ha(geometry: dict[str, object]) -> float:
    """Return the area of a GeoJSON polygon or multipolygon, holes taken off [ha]."""
    coordinates = geometry["coordinates"]
    polygons = [coordinates] if geometry["type"] == "Polygon" else coordinates
    return sum(ring_ha(one[0]) - sum(map(ring_ha, one[1:])) for one in polygons)  # type: ignore[index, arg-type, attr-defined, union-attr]


def share_beyond(line_m: ArrayLike, radius_m: float) -> Numbers:
    """Return the share of a circle beyond a straight line at a signed distance from its centre [share].

    The segment of height h = r - d has the area r^2 arccos(d / r) - d sqrt(r^2 - d^2).
    """
    d = np.clip(np.asarray(line_m, dtype=np.float64) / radius_m, -1.0, 1.0)
    return np.asarray((np.arccos(d) - d * np.sqrt(1.0 - d**2)) / np.pi)


def cell_ha(north_deg: ArrayLike, south_deg: ArrayLike, width_deg: float) -> Numbers:
    """Return the area between two parallels and two meridians on the WGS 84 ellipsoid [ha].

    References
    ----------
    Snyder, J.P. 1987. Map Projections: A Working Manual. USGS Professional Paper 1395, equation 3-12: the area
    south of a latitude is a^2 / 2 q per radian of longitude.
    """
    e2 = FLATTENING * (2 - FLATTENING)
    e = np.sqrt(e2)

    def q(latitude_deg: ArrayLike) -> Numbers:
        sine = np.sin(np.radians(latitude_deg))
        return np.asarray((1 - e2) * (sine / (1 - e2 * sine**2) + np.arctanh(e * sine) / e))

    return WGS84_M**2 / 2 * (q(north_deg) - q(south_deg)) * np.radians(width_deg) / 10_000.0
