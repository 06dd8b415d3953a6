"""Twelve months of temperature and precipitation that follow the ground."""

from dataclasses import dataclass

import numpy as np
from pyproj import Transformer
from scipy import ndimage

from making.frame import (
    COARSE_M,
    DISTRICTS_EAST_M,
    DISTRICTS_NORTH_M,
    DISTRICTS_SOUTH_M,
    DISTRICTS_WEST_M,
    GEOGRAPHIC_CRS,
    PLANE_CRS,
    Floats,
    cell_centres,
    settle,
)
from making.relief import Ground

CELLS_PER_DEGREE = 120

# At 1,000 m in the middle of the district, January to December; invented.
MEAN_DEGC = np.array([-5.6, -3.6, 1.4, 6.8, 11.9, 16.4, 21.0, 20.2, 14.6, 7.9, 0.4, -5.0])
HALF_RANGE_DEGC = np.array([5.4, 5.8, 6.3, 7.1, 7.4, 7.7, 8.9, 8.9, 8.0, 7.2, 5.9, 5.3])
# Cooling with height differs between day and night and over the year [degC per km].
DAY_LAPSE = np.array([4.2, 4.9, 6.1, 7.0, 7.3, 7.4, 7.2, 7.0, 6.6, 5.9, 4.9, 4.1])
NIGHT_LAPSE = np.array([1.9, 2.4, 3.4, 4.3, 4.7, 4.9, 4.6, 4.3, 3.8, 3.2, 2.5, 1.8])
# Cold air that lies on the valley floors at night [degC at the floor].
COLD_POOL_DEGC = np.array([3.4, 3.0, 1.9, 1.2, 1.0, 1.0, 1.3, 1.5, 1.9, 2.3, 2.8, 3.4])
PRECIPITATION_MM = np.array([17, 15, 22, 34, 58, 62, 36, 30, 33, 27, 19, 17])


@dataclass(frozen=True)
class Climate:
    """Monthly normals on a grid of degrees; arrays have the shape (12, rows, columns), north up.

    Attributes
    ----------
    west_deg, north_deg
        Upper left corner of the grid [deg].
    tmin_degc, tmax_degc
        Mean daily minimum and maximum [degC].
    precipitation_mm
        Sum per month [mm].
    elevation_m
        Mean elevation of every cell, (rows, columns) [m].
    """

    west_deg: float
    north_deg: float
    tmin_degc: Floats
    tmax_degc: Floats
    precipitation_mm: Floats
    elevation_m: Floats


def _frame_deg() -> tuple[int, int, int, int]:
    """Return west, south, east and north edge in whole cells, with one cell to spare around the districts."""
    to_degrees = Transformer.from_crs(PLANE_CRS, GEOGRAPHIC_CRS, always_xy=True)
    corners = to_degrees.transform_bounds(
        DISTRICTS_WEST_M, DISTRICTS_SOUTH_M, DISTRICTS_EAST_M, DISTRICTS_NORTH_M
    )
    cells = np.array(corners) * CELLS_PER_DEGREE
    west, south = np.floor(cells[:2]).astype(int) - 1
    east, north = np.ceil(cells[2:]).astype(int) + 1
    return int(west), int(south), int(east), int(north)


def _mean_per_cell(ground: Ground, frame: tuple[int, int, int, int]) -> tuple[Floats, Floats]:
    """Return mean elevation and mean height above the valley floor [m] of every climate cell."""
    west, south, east, north = frame
    height_m = ground.coarse.values
    floor_m = ndimage.minimum_filter(ndimage.gaussian_filter(height_m, 2), size=round(2_400 / COARSE_M))
    above_m = settle(np.maximum(height_m - ndimage.gaussian_filter(floor_m, 6), 0), 2)
    to_degrees = Transformer.from_crs(PLANE_CRS, GEOGRAPHIC_CRS, always_xy=True)
    easting_m, northing_m = cell_centres(COARSE_M)
    longitude_deg, latitude_deg = to_degrees.transform(easting_m.ravel(), northing_m.ravel())
    column = np.floor(longitude_deg * CELLS_PER_DEGREE).astype(int) - west
    row = north - 1 - np.floor(latitude_deg * CELLS_PER_DEGREE).astype(int)
    shape = (north - south, east - west)
    inside = (row >= 0) & (row < shape[0]) & (column >= 0) & (column < shape[1])
    cell = row[inside] * shape[1] + column[inside]
    count = np.bincount(cell, minlength=shape[0] * shape[1])
    means = (
        np.bincount(cell, field.ravel()[inside], minlength=count.size) / count
        for field in (height_m, above_m)
    )
    elevation, above = (settle(mean.reshape(shape), 1) for mean in means)
    return elevation, above


def normals(elevation_m: Floats, above_m: Floats) -> tuple[Floats, Floats, Floats]:
    """Return minimum [degC], maximum [degC] and precipitation [mm], each of shape (12, rows, columns).

    Parameters
    ----------
    elevation_m
        Mean elevation of every climate cell [m], shape (rows, columns).
    above_m
        Its height above the valley floor [m], same shape.
    """
    up_km = (elevation_m - 1_000) / 1_000
    eastward = np.linspace(-0.5, 0.5, elevation_m.shape[1])[None, :]
    month = (slice(None), None, None)
    tmax = (MEAN_DEGC + HALF_RANGE_DEGC)[month] - DAY_LAPSE[month] * up_km - 0.6 * eastward
    pool = np.exp(-above_m / 70)
    tmin = (
        (MEAN_DEGC - HALF_RANGE_DEGC)[month]
        - NIGHT_LAPSE[month] * up_km
        - COLD_POOL_DEGC[month] * pool
        - 0.8 * eastward
    )
    wetter = np.clip(1 + 1.25 * up_km + 0.22 * eastward, 0.5, None)
    return settle(tmin, 1), settle(np.maximum(tmax, tmin + 2), 1), settle(PRECIPITATION_MM[month] * wetter, 1)


def make_climate(ground: Ground) -> Climate:
    """Return monthly normals: cooler upward, cold valley floors at night, wetter upward and eastward."""
    frame = _frame_deg()
    elevation_m, above_m = _mean_per_cell(ground, frame)
    corner = (frame[0] / CELLS_PER_DEGREE, frame[3] / CELLS_PER_DEGREE)
    return Climate(*corner, *normals(elevation_m, above_m), elevation_m)
