"""The relief as tiles: which there are, what they show, where they lie, and how large they may be."""

import base64
import io
import math

import numpy as np
import pytest
from affine import Affine
from numpy.typing import NDArray
from PIL import Image
from pyproj import Transformer

from geo_scout.model.zones import ReliefGrid
from geo_scout.outputs.map.relief_tiles import relief_tiles
from geo_scout.zones.relief_cells import relief_cells

LONGITUDE_DEG, LATITUDE_DEG = 20.456, 69.789


def _grid(columns: int, rows: int, cell_m: float = 20.0) -> ReliefGrid:
    """Return flat ground of so many cells or a few more around a place, in pixels of tiles where these are needed."""
    east_m, north_m = Transformer.from_crs(4326, 3857, always_xy=True).transform(LONGITUDE_DEG, LATITUDE_DEG)
    half_m, high_m = columns * cell_m / 2, rows * cell_m / 2
    cells = relief_cells((east_m - half_m, north_m - high_m, east_m + half_m, north_m + high_m), cell_m)
    return ReliefGrid(np.zeros((cells.rows, cells.columns), np.float32), cells.transform, cells.zoom)


def _pixels(grid: ReliefGrid) -> NDArray[np.uint8]:
    return np.full((*grid.elevation_m.shape, 4), 255, dtype=np.uint8)


def _open(text: str) -> Image.Image:
    return Image.open(io.BytesIO(base64.b64decode(text)))


def _slippy(longitude_deg: float, latitude_deg: float, zoom: int) -> tuple[float, float]:
    """Tile column and row with fractions, by the formula of the OpenStreetMap wiki (Slippy map tilenames)."""
    latitude = math.radians(latitude_deg)
    share = (1 - math.asinh(math.tan(latitude)) / math.pi) / 2
    return 2**zoom * (longitude_deg + 180) / 360, 2**zoom * share


def test_a_raster_that_the_picture_shows_whole_has_no_tiles() -> None:
    grid = _grid(2048, 1000)
    assert grid.zoom is None
    assert relief_tiles(grid, _pixels(grid)) is None


@pytest.mark.parametrize(("columns", "zooms"), [(2_900, 1), (5_800, 2)])
def test_there_are_the_zooms_between_the_picture_and_the_raster(columns: int, zooms: int) -> None:
    grid = _grid(columns, 300)
    tiles = relief_tiles(grid, _pixels(grid))
    assert tiles is not None
    assert tiles.most_zoom == grid.zoom
    assert tiles.most_zoom - tiles.least_zoom + 1 == zooms
    # Each zoom has all tiles the ground touches: the formula's, from corner to corner.
    to_degrees = Transformer.from_crs(3857, 4326, always_xy=True)
    rows, cells = grid.elevation_m.shape
    west, north = to_degrees.transform(grid.transform.c + 1, grid.transform.f - 1)
    east, south = to_degrees.transform(
        grid.transform.c + cells * grid.transform.a - 1, grid.transform.f + rows * grid.transform.e + 1
    )
    expected = set()
    for zoom in range(tiles.least_zoom, tiles.most_zoom + 1):
        first, last = _slippy(west, north, zoom), _slippy(east, south, zoom)
        expected |= {
            f"{zoom}/{column}/{row}"
            for column in range(math.floor(first[0]), math.floor(last[0]) + 1)
            for row in range(math.floor(first[1]), math.floor(last[1]) + 1)
        }
    assert set(tiles.pictures) == expected
    assert {_open(text).size for text in tiles.pictures.values()} == {(256, 256)}
    # The picture's pixel is coarser than the first zoom's, and no finer than that of the zoom before.
    picture_cell = max(rows, cells) / 2048
    assert 2 ** (grid.zoom - tiles.least_zoom) < picture_cell <= 2 ** (grid.zoom - tiles.least_zoom + 1)


@pytest.mark.parametrize("zooms_up", [0, 1])
def test_a_mark_lies_in_its_tile_where_the_formula_puts_it(zooms_up: int) -> None:
    grid = _grid(5_800, 1_100)
    assert grid.zoom is not None
    pixels = _pixels(grid)
    east_m, north_m = Transformer.from_crs(4326, 3857, always_xy=True).transform(LONGITUDE_DEG, LATITUDE_DEG)
    column = (east_m - grid.transform.c) / grid.transform.a
    row = (north_m - grid.transform.f) / grid.transform.e
    pixels[: math.floor(row), :, :3] = 0  # dark north of the place, and west of it
    pixels[:, : math.floor(column), :3] = 0
    tiles = relief_tiles(grid, pixels)
    assert tiles is not None
    zoom = grid.zoom - zooms_up
    x, y = _slippy(LONGITUDE_DEG, LATITUDE_DEG, zoom)
    grey = np.asarray(_open(tiles.pictures[f"{zoom}/{math.floor(x)}/{math.floor(y)}"]).convert("L")) > 127
    corner_row, corner_column = np.argwhere(grey)[0]
    assert corner_column == pytest.approx(256 * (x % 1), abs=1.0)
    assert corner_row == pytest.approx(256 * (y % 1), abs=1.0)
    assert grey[corner_row:, corner_column:].all()
    assert grey.sum() == grey[corner_row:, corner_column:].size


def test_beyond_the_ground_tiles_are_clear_and_tiles_of_nothing_are_left_out() -> None:
    grid = _grid(2_900, 600)
    pixels = _pixels(grid)
    pixels[:, : pixels.shape[1] // 2] = 0
    tiles, whole = relief_tiles(grid, pixels), relief_tiles(grid, _pixels(grid))
    assert tiles is not None
    assert whole is not None
    assert 0.4 * len(whole.pictures) < len(tiles.pictures) < 0.7 * len(whole.pictures)
    alpha = [np.asarray(_open(text).convert("RGBA"))[..., 3] for text in tiles.pictures.values()]
    assert all(one.any() for one in alpha)
    clear = sum(int((one == 0).sum()) for one in alpha)
    assert clear == len(alpha) * 256 * 256 - (pixels[..., 3] > 0).sum()


def test_zooms_stop_where_they_would_be_too_large() -> None:
    grid = _grid(5_800, 20)
    noise = np.random.default_rng(3).integers(0, 256, (*grid.elevation_m.shape, 4), dtype=np.uint8)
    noise[..., 3] = 255
    both = relief_tiles(grid, noise, most_bytes=10**9)
    assert both is not None
    sizes = {
        zoom: sum(len(text) for name, text in both.pictures.items() if name.startswith(f"{zoom}/"))
        for zoom in (both.least_zoom, both.most_zoom)
    }
    first = relief_tiles(grid, noise, most_bytes=sum(sizes.values()) - 1)
    assert first is not None
    assert (first.least_zoom, first.most_zoom) == (both.least_zoom, both.least_zoom)
    assert sum(map(len, first.pictures.values())) == sizes[both.least_zoom]
    assert relief_tiles(grid, noise, most_bytes=sizes[both.least_zoom] - 1) is None
    exact = relief_tiles(grid, noise, most_bytes=sum(sizes.values()))
    assert exact == both


def test_a_grid_off_the_pixels_of_tiles_has_none() -> None:
    grid = ReliefGrid(np.zeros((40, 3000), np.float32), Affine(10, 0, 0, 0, -10, 0))
    assert relief_tiles(grid, _pixels(grid)) is None
