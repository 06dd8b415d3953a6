"""The relief of a season on both sides of the 180th meridian: in one piece, and each cell in its place."""

import dataclasses

import numpy as np
import pytest
from affine import Affine
from pyproj import CRS, Transformer

from geo_scout.zones.relief import warp_elevation

RADIUS_M = 6_378_137.0
FIJI_GRID = CRS.from_epsg(32701)  # UTM zone 1 south, which begins at the 180th meridian
DEGREES = CRS.from_epsg(4326)
CELL_DEG = 0.002


def _area() -> tuple[float, float, float, float]:
    to_grid = Transformer.from_crs(4326, FIJI_GRID, always_xy=True)
    east_m, north_m = to_grid.transform([179.85, -179.85, 179.85, -179.85], [-17.1, -17.1, -16.9, -16.9])
    return min(east_m), min(north_m), max(east_m), max(north_m)


def _longitude_of_each_column(relief) -> np.ndarray:
    columns = relief.elevation_m.shape[1]
    return np.degrees((relief.transform.c + (np.arange(columns) + 0.5) * relief.transform.a) / RADIUS_M)


def _eastward(first_deg: float, columns: int, cell_deg: float = CELL_DEG) -> np.ndarray:
    """Cells that hold how far east of 179 degrees they lie [thousandths of a degree]."""
    longitude_deg = first_deg + (np.arange(columns) + 0.5) * cell_deg
    return np.tile(1000 * ((longitude_deg - 179.0) % 360.0), (400, 1)).astype("float32")


def _warped(files, folder, cells, crs, transform):
    raster = files.write_raster(folder, cells, crs=crs, transform=transform)
    return warp_elevation(dataclasses.replace(raster, transform=transform), _area(), FIJI_GRID)


def _assert_whole_and_in_place(relief, cell_deg):
    longitude_deg = _longitude_of_each_column(relief)
    assert longitude_deg[-1] - longitude_deg[0] < 0.5
    assert longitude_deg[0] % 360 < 179.9
    assert longitude_deg[-1] % 360 > 180.1
    assert np.isfinite(relief.elevation_m).all()
    told_deg = 179.0 + relief.elevation_m.mean(axis=0) / 1000
    np.testing.assert_allclose(told_deg, longitude_deg % 360.0, atol=cell_deg)


@pytest.mark.parametrize("first_deg", [179.6, -180.4])
def test_a_grid_in_degrees_across_the_meridian_is_shown_whole(files, tmp_path, first_deg):
    transform = Affine(CELL_DEG, 0, first_deg, 0, -CELL_DEG, -16.6)
    relief = _warped(files, tmp_path, _eastward(first_deg, 400), DEGREES, transform)
    _assert_whole_and_in_place(relief, CELL_DEG)


@pytest.mark.parametrize("first_deg", [-180.0, 0.0])
def test_a_grid_around_the_earth_is_shown_on_both_sides(files, tmp_path, first_deg):
    cell_deg = 0.05
    transform = Affine(cell_deg, 0, first_deg, 0, -cell_deg, -7.0)
    relief = _warped(files, tmp_path, _eastward(first_deg, 7200, cell_deg), DEGREES, transform)
    _assert_whole_and_in_place(relief, cell_deg)


def test_a_projected_grid_is_shown_whole(files, tmp_path):
    west_m, _, _, north_m = _area()
    cell_m = 100.0
    transform = Affine(cell_m, 0, west_m - 4000, 0, -cell_m, north_m + 4000)
    easting_m = transform.c + (np.arange(500) + 0.5) * cell_m
    cells = np.tile((easting_m - transform.c) / 10, (400, 1)).astype("float32")
    relief = _warped(files, tmp_path, cells, FIJI_GRID, transform)
    longitude_deg = _longitude_of_each_column(relief)
    middle = relief.elevation_m.shape[0] // 2
    northing_m = relief.transform.f + (middle + 0.5) * relief.transform.e
    latitude_deg = np.degrees(np.arctan(np.sinh(northing_m / RADIUS_M)))
    to_grid = Transformer.from_crs(4326, FIJI_GRID, always_xy=True)
    wrapped_deg = (longitude_deg + 180.0) % 360.0 - 180.0
    expected_m, _ = to_grid.transform(wrapped_deg, np.full(len(longitude_deg), latitude_deg))
    told_m = transform.c + relief.elevation_m[middle] * 10
    np.testing.assert_allclose(told_m, expected_m, atol=cell_m)
