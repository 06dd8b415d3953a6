"""Slope, aspect and relief shading from an elevation raster."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def horn_gradient(
    elevation_m: ArrayLike, cell_width_m: ArrayLike, cell_height_m: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return how steeply the ground rises eastwards and northwards, by Horn's 3 x 3 window.

    Parameters
    ----------
    elevation_m
        Elevations, north row first, west column first, (rows, columns) [m].
    cell_width_m, cell_height_m
        Size of a cell on the ground, one number or one per row (rows,), as geographic and Mercator grids
        need; both positive [m].

    Returns
    -------
    dz_dx : numpy.ndarray
        Rise towards the east, (rows, columns) [m/m].
    dz_dy : numpy.ndarray
        Rise towards the north, (rows, columns) [m/m].
        Both are nan where any of the nine cells is nan.

    Notes
    -----
    The raster's edge is repeated outwards, which flattens the gradient across the edge in the outermost
    ring of cells (to one half on a plane). Read a ring of neighbours around a tile where that matters.

    References
    ----------
    Horn, B.K.P. 1981. Hill shading and the reflectance map. Proceedings of the IEEE 69: 14-47.

    Examples
    --------
    >>> dz_dx, dz_dy = horn_gradient([[50, 45, 50], [30, 30, 30], [8, 10, 10]], 5.0, 5.0)
    >>> round(float(dz_dx[1, 1]), 4), round(float(dz_dy[1, 1]), 4)
    (0.05, 3.8)
    """
    elevation = np.asarray(elevation_m, dtype=np.float64)
    if elevation.ndim != 2:
        message = f"elevation_m has shape {elevation.shape}; rows and columns are needed"
        raise ValueError(message)
    width, height = (_per_row(size, len(elevation)) for size in (cell_width_m, cell_height_m))
    if elevation.size == 0:
        return np.zeros(elevation.shape), np.zeros(elevation.shape)
    padded = np.pad(elevation, 1, mode="edge")
    across_rows = padded[:-2] + 2.0 * padded[1:-1] + padded[2:]
    dz_dx = (across_rows[:, 2:] - across_rows[:, :-2]) / (8.0 * width)
    across_columns = padded[:, :-2] + 2.0 * padded[:, 1:-1] + padded[:, 2:]
    dz_dy = (across_columns[:-2] - across_columns[2:]) / (8.0 * height)
    # Neither difference sees all nine cells; a missing one must still blank both.
    is_missing = np.isnan(dz_dx) | np.isnan(dz_dy) | np.isnan(elevation)
    dz_dx[is_missing] = np.nan
    dz_dy[is_missing] = np.nan
    return dz_dx, dz_dy


def horn_rises(nine_m: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return the rise from one column, and from one row, to the next around single cells, by Horn's window.

    Parameters
    ----------
    nine_m
        (9, n) elevations of the windows: north row first, west column first, the cell itself fifth [m].

    Returns
    -------
    rise_per_column_m : numpy.ndarray
        (n,) rise from a column to the one east of it [m].
    rise_per_row_m : numpy.ndarray
        (n,) rise from a row to the one south of it [m].
        Both are nan where any of the nine is nan.

    References
    ----------
    Horn, B.K.P. 1981. Hill shading and the reflectance map. Proceedings of the IEEE 69: 14-47.

    Examples
    --------
    >>> rises = horn_rises(np.reshape([50, 45, 50, 30, 30, 30, 8, 10, 10], (9, 1)))
    >>> [rise.tolist() for rise in rises]
    [[0.25], [-19.0]]
    """
    nw, n, ne, w, here, e, sw, s, se = np.asarray(nine_m, dtype=np.float64)
    per_column = ((ne + 2.0 * e + se) - (nw + 2.0 * w + sw)) / 8.0
    per_row = ((sw + 2.0 * s + se) - (nw + 2.0 * n + ne)) / 8.0
    # Neither difference sees all nine cells; a missing one must still blank both.
    is_missing = np.isnan(per_column) | np.isnan(per_row) | np.isnan(here)
    return np.where(is_missing, np.nan, per_column), np.where(is_missing, np.nan, per_row)


def slope_deg(dz_dx: ArrayLike, dz_dy: ArrayLike) -> FloatArray:
    """Return the steepness of the ground, 0 flat to 90 vertical.

    Parameters
    ----------
    dz_dx, dz_dy
        Rise towards east and north, broadcast [m/m].

    Returns
    -------
    numpy.ndarray
        Slope; nan where a gradient is nan [deg].

    Examples
    --------
    >>> slope_deg([1.0, 0.0], [0.0, 0.0]).tolist()
    [45.0, 0.0]
    """
    east, north = _gradients(dz_dx, dz_dy)
    return np.asarray(np.degrees(np.arctan(np.hypot(east, north))), dtype=np.float64)


def aspect_deg(dz_dx: ArrayLike, dz_dy: ArrayLike) -> FloatArray:
    """Return the compass direction in which the ground falls.

    Parameters
    ----------
    dz_dx, dz_dy
        Rise towards east and north, broadcast [m/m].

    Returns
    -------
    numpy.ndarray
        Aspect, clockwise from north, 0 <= aspect < 360; -1 where the ground is flat and has none; nan where
        a gradient is nan [deg].

    Examples
    --------
    >>> aspect_deg([0.0, -0.1, 0.0, 0.0], [0.1, 0.0, -0.1, 0.0]).tolist()
    [180.0, 90.0, 0.0, -1.0]
    """
    east, north = _gradients(dz_dx, dz_dy)
    aspect = np.asarray(np.degrees(np.arctan2(-east, -north)) % 360.0)
    aspect = np.where(aspect >= 360.0, 0.0, aspect)  # a hair west of north rounds up to 360
    return np.where((east == 0) & (north == 0), -1.0, aspect)


def hillshade(
    dz_dx: ArrayLike, dz_dy: ArrayLike, azimuth_deg: float = 315.0, altitude_deg: float = 45.0
) -> FloatArray:
    """Return how brightly the ground is lit from one direction, for drawing relief.

    Parameters
    ----------
    dz_dx, dz_dy
        Rise towards east and north, broadcast [m/m].
    azimuth_deg
        Compass direction from which the light comes; north-west is the map makers' habit [deg].
    altitude_deg
        Height of the light above the horizon [deg].

    Returns
    -------
    numpy.ndarray
        Brightness, the cosine of the angle between light and ground normal, 0 where the ground faces
        away; nan where a gradient is nan [0-1].

    Notes
    -----
    Ground does not throw shadows on other ground. This is a picture, not an insolation.

    References
    ----------
    Horn, B.K.P. 1981. Hill shading and the reflectance map. Proceedings of the IEEE 69: 14-47.

    Examples
    --------
    >>> hillshade([0.0, 1.0], [0.0, -1.0]).round(4).tolist()
    [0.7071, 0.9856]
    """
    east, north = _gradients(dz_dx, dz_dy)
    azimuth, altitude = np.radians(azimuth_deg), np.radians(altitude_deg)
    towards_light = -(east * np.sin(azimuth) + north * np.cos(azimuth)) * np.cos(altitude) + np.sin(altitude)
    brightness = towards_light / np.sqrt(1.0 + east * east + north * north)
    return np.asarray(np.clip(brightness, 0.0, 1.0), dtype=np.float64)


def _gradients(dz_dx: ArrayLike, dz_dy: ArrayLike) -> tuple[FloatArray, FloatArray]:
    east, north = np.broadcast_arrays(
        np.asarray(dz_dx, dtype=np.float64), np.asarray(dz_dy, dtype=np.float64)
    )
    return east, north


def _per_row(size_m: ArrayLike, row_count: int) -> FloatArray:
    size = np.asarray(size_m, dtype=np.float64)
    if size.shape not in ((), (row_count,)) or not (size > 0).all():
        message = f"a cell size must be one positive number of metres or one for each of {row_count} rows"
        raise ValueError(message)
    return size if size.ndim == 0 else size[:, None]
