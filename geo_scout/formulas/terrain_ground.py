"""How far one step along a grid leads on the ground, and the ground's gradient from rises along the grid."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pyproj import CRS

from geo_scout.formulas.transformers import transformer_between

FloatArray = NDArray[np.float64]

# Wide enough that the last digits of a map projection do not matter, narrow enough to be straight.
_SPAN_CELLS = 16.0


@dataclass(frozen=True)
class GroundSteps:
    """Where one step along the columns and one along the rows of a grid lead on the ground.

    Parameters
    ----------
    latitude_deg
        (n,) where the step is taken [deg].
    column_east_m, column_north_m
        (n,) east and north parts of one column further [m].
    row_east_m, row_north_m
        (n,) east and north parts of one row further, which leads south on a usual grid [m].
    """

    latitude_deg: FloatArray
    column_east_m: FloatArray
    column_north_m: FloatArray
    row_east_m: FloatArray
    row_north_m: FloatArray

    @property
    def column_m(self) -> FloatArray:
        """Length of one column [m]."""
        return np.hypot(self.column_east_m, self.column_north_m)

    @property
    def row_m(self) -> FloatArray:
        """Length of one row [m]."""
        return np.hypot(self.row_east_m, self.row_north_m)


def metres_per_degree(
    latitude_deg: ArrayLike,
    semi_major_m: float = 6_378_137.0,
    eccentricity_squared: float = 0.0066943799901413,
) -> tuple[FloatArray, FloatArray]:
    """Return the length of a degree of longitude and of latitude on an ellipsoid.

    Parameters
    ----------
    latitude_deg
        Geodetic latitude [deg].
    semi_major_m
        Semi-major axis; that of WGS84 where left out [m].
    eccentricity_squared
        First eccentricity squared [1].

    Returns
    -------
    tuple
        Length of a degree of longitude and of latitude, nan where the latitude is nan [m].

    References
    ----------
    Snyder, J.P. 1987. Map projections: a working manual. USGS Professional Paper 1395, equations 4-18
    to 4-21.

    Examples
    --------
    >>> east_m, north_m = metres_per_degree([0.0, 45.0])
    >>> east_m.round(1).tolist(), north_m.round(1).tolist()
    ([111319.5, 78846.8], [110574.3, 111131.8])
    """
    latitude = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    flattened = 1.0 - eccentricity_squared * np.sin(latitude) ** 2
    east_m = np.radians(semi_major_m * np.cos(latitude) / np.sqrt(flattened))
    north_m = np.radians(semi_major_m * (1.0 - eccentricity_squared) / flattened**1.5)
    return np.asarray(east_m), np.asarray(north_m)


def ground_steps(
    easting: ArrayLike, northing: ArrayLike, cell_width: float, cell_height: float, crs: CRS
) -> GroundSteps:
    """Return the steps of a grid at places on its map, true on the ellipsoid of its reference system.

    Parameters
    ----------
    easting, northing
        (n,) places [units of ``crs``].
    cell_width, cell_height
        Size of a cell, both positive; rows count southwards [units of ``crs``].
    crs
        Reference system of the grid, in degrees or projected.

    Returns
    -------
    GroundSteps
        nan where the map has no place on Earth.

    Notes
    -----
    The scale of the projection, its unit and the angle between grid north and true north are all in the
    steps: on Web Mercator at 45 N a cell of 100 m is 71 m wide on the ground.

    Examples
    --------
    >>> steps = ground_steps([15.0], [45.0], 0.01, 0.01, CRS.from_epsg(4326))
    >>> round(float(steps.column_east_m[0]), 2), round(float(steps.row_north_m[0]), 2)
    (788.47, -1111.32)
    """
    east, north = (np.asarray(one, dtype=np.float64) for one in (easting, northing))
    across, along = _SPAN_CELLS / 2 * cell_width, _SPAN_CELLS / 2 * cell_height
    to_degrees = _degrees_of(crs)
    west_end, east_end = (to_degrees(east + side, north) for side in (-across, across))
    north_end, south_end = (to_degrees(east, north + side) for side in (along, -along))
    latitude_deg = (north_end[1] + south_end[1]) / 2
    geod = crs.get_geod()
    if geod is None:
        message = f"the reference system {crs.name} has no ellipsoid to measure on"
        raise ValueError(message)
    east_m, north_m = metres_per_degree(latitude_deg, geod.a, geod.es)
    column, row = _difference(west_end, east_end), _difference(north_end, south_end)
    return GroundSteps(
        latitude_deg, column[0] * east_m, column[1] * north_m, row[0] * east_m, row[1] * north_m
    )


def ground_gradient(
    rise_per_column_m: ArrayLike, rise_per_row_m: ArrayLike, steps: GroundSteps
) -> tuple[FloatArray, FloatArray]:
    """Return how steeply the ground rises eastwards and northwards.

    Parameters
    ----------
    rise_per_column_m, rise_per_row_m
        (n,) rise from one column to the next and from one row to the next [m].
    steps
        (n,) where those steps lead on the ground.

    Returns
    -------
    tuple
        Rise towards true east and true north, nan where a rise or a step is nan [m/m].

    Examples
    --------
    >>> one = np.ones(1)
    >>> steps = GroundSteps(45 * one, 30 * one, 0 * one, 0 * one, -30 * one)
    >>> [part.tolist() for part in ground_gradient([3.0], [6.0], steps)]
    [[0.1], [-0.2]]
    """
    per_column = np.asarray(rise_per_column_m, dtype=np.float64)
    per_row = np.asarray(rise_per_row_m, dtype=np.float64)
    area = steps.column_east_m * steps.row_north_m - steps.column_north_m * steps.row_east_m
    with np.errstate(divide="ignore", invalid="ignore"):
        east = (per_column * steps.row_north_m - per_row * steps.column_north_m) / area
        north = (per_row * steps.column_east_m - per_column * steps.row_east_m) / area
    is_known = np.isfinite(east) & np.isfinite(north)
    return np.where(is_known, east, np.nan) + 0.0, np.where(is_known, north, np.nan) + 0.0


@lru_cache(maxsize=8)
def _degrees_of(crs: CRS) -> Callable[[FloatArray, FloatArray], tuple[FloatArray, FloatArray]]:
    """Return what turns places on the map into longitude and latitude of the same datum [deg]."""
    geodetic = crs.geodetic_crs
    if geodetic is None:
        message = f"the reference system {crs.name} has no longitude and latitude"
        raise ValueError(message)
    transformer = transformer_between(crs, geodetic)
    unit_deg = np.degrees(geodetic.axis_info[0].unit_conversion_factor)

    def to_degrees(easting: FloatArray, northing: FloatArray) -> tuple[FloatArray, FloatArray]:
        longitude, latitude = transformer.transform(easting, northing)
        return _finite(longitude) * unit_deg, _finite(latitude) * unit_deg

    return to_degrees


def _finite(values: ArrayLike) -> FloatArray:
    array = np.asarray(values, dtype=np.float64)
    return np.where(np.isfinite(array), array, np.nan)


def _difference(
    start: tuple[FloatArray, FloatArray], end: tuple[FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """Return longitude and latitude gained per cell, the short way round the Earth [deg]."""
    around = (end[0] - start[0] + 180.0) % 360.0 - 180.0
    return around / _SPAN_CELLS, (end[1] - start[1]) / _SPAN_CELLS
