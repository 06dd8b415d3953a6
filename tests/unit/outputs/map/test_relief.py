"""The shaded picture: where it lies, what is bright, what is transparent."""

import io
import math

import numpy as np
import pytest
from affine import Affine
from numpy.typing import NDArray
from PIL import Image

from geo_scout.model.zones import ReliefGrid
from geo_scout.outputs.relief import draw_relief, shaded_pixels

RADIUS_M = 6_378_137.0
CELL_M = 100.0


def _grid(elevation_m: NDArray[np.float64], north_m: float = 5_800_000.0) -> ReliefGrid:
    return ReliefGrid(elevation_m.astype(np.float32), Affine(CELL_M, 0, -13_000_000.0, 0, -CELL_M, north_m))


def _pixels(webp: bytes) -> NDArray[np.float64]:
    return np.asarray(Image.open(io.BytesIO(webp)).convert("RGBA"), dtype=np.float64)


def test_the_edges_follow_the_mercator_formula() -> None:
    picture = draw_relief(_grid(np.zeros((30, 50))))
    # Snyder 1987, equations 7-4 and 7-5: lon = E / R, lat = atan(sinh(N / R)) on the sphere
    assert picture.west_deg == pytest.approx(math.degrees(-13_000_000.0 / RADIUS_M), abs=1e-9)
    assert picture.east_deg == pytest.approx(math.degrees((-13_000_000.0 + 5_000) / RADIUS_M), abs=1e-9)
    assert picture.north_deg == pytest.approx(math.degrees(math.atan(math.sinh(5.8e6 / RADIUS_M))), abs=1e-9)
    south_deg = math.degrees(math.atan(math.sinh((5.8e6 - 3_000) / RADIUS_M)))
    assert picture.south_deg == pytest.approx(south_deg, abs=1e-9)


def test_slopes_that_face_the_light_are_brighter() -> None:
    east_m = np.arange(60) * CELL_M
    ridge = 2_000 - np.abs(east_m - 3_000)  # west half faces west, towards the light from the north-west
    pixels = _pixels(draw_relief(_grid(np.tile(ridge, (40, 1)))).webp)[..., :3].mean(axis=2)
    assert pixels[10:30, 8:22].mean() > pixels[10:30, 38:52].mean() + 20


def test_slopes_are_taken_in_ground_metres() -> None:
    # One slope in Mercator metres from the equator to 60 degrees north: on the ground it is twice as
    # steep at the top, so the side that faces away from the light must be darker there.
    cell_m = 120_000.0
    rows = math.ceil(RADIUS_M * math.asinh(math.tan(math.radians(60))) / cell_m)
    falls_east = np.tile(-0.2 * cell_m * np.arange(40.0), (rows, 1))
    grid = ReliefGrid(falls_east.astype(np.float32), Affine(cell_m, 0, 0, 0, -cell_m, rows * cell_m))
    pixels = _pixels(draw_relief(grid).webp)[..., :3].mean(axis=2)
    assert pixels[2:6, 18:22].mean() < pixels[-6:-2, 18:22].mean() - 5


def test_missing_elevation_is_transparent() -> None:
    elevation_m = np.zeros((40, 40))
    elevation_m[:10] = np.nan
    alpha = _pixels(draw_relief(_grid(elevation_m)).webp)[..., 3]
    assert (alpha[:10] == 0).all()
    assert (alpha[12:] == 255).all()


def test_a_grid_without_any_elevation_is_a_clear_picture() -> None:
    assert (_pixels(draw_relief(_grid(np.full((8, 8), np.nan))).webp)[..., 3] == 0).all()


def test_a_large_grid_becomes_a_picture_within_the_limit() -> None:
    picture = draw_relief(_grid(np.zeros((60, 240))), largest_side_px=120)
    assert (picture.width_px, picture.height_px) == (120, 30)
    assert picture.east_deg == draw_relief(_grid(np.zeros((60, 240)))).east_deg


def test_the_same_grid_gives_the_same_bytes() -> None:
    rough = np.random.default_rng(1).normal(0, 50, (64, 64))
    assert draw_relief(_grid(rough)).webp == draw_relief(_grid(rough)).webp


def test_ground_larger_than_a_block_has_no_seams() -> None:
    row, column = np.mgrid[:600, :1_100]
    plane = ReliefGrid(
        (0.3 * column - 0.2 * row).astype(np.float32) * 100, Affine(100.0, 0, 0, 0, -100.0, 30_000.0)
    )
    pixels = shaded_pixels(plane)[1:-1, 1:-1].astype(int)
    assert (pixels[..., 3] == 255).all()
    # Near the equator the plane is lit the same everywhere: tints change slowly from cell to cell, and so does all.
    assert max(np.abs(np.diff(pixels, axis=axis)).max() for axis in (0, 1)) <= 1


def test_missing_cells_at_the_edge_of_a_block_are_missing_there_only() -> None:
    elevation_m = np.zeros((40, 1_100))
    elevation_m[:, 511] = np.nan
    alpha = shaded_pixels(_grid(elevation_m))[..., 3]
    assert np.flatnonzero((alpha == 0).any(axis=0)).tolist() == [510, 511, 512]
