"""Blocks with a margin on a raster whose value tells row and column."""

import dataclasses

import numpy as np
import pytest
import rasterio

from geo_scout.errors import InputMistakes
from geo_scout.zones import halo_blocks as halo_module
from geo_scout.zones.halo_blocks import read_halo_blocks

TILES = {"tiled": True, "blockxsize": 16, "blockysize": 16}
HEIGHT, WIDTH = 37, 50


def ramp():
    row, column = np.mgrid[:HEIGHT, :WIDTH]
    return (100 * row + column).astype("int32")


@pytest.fixture(autouse=True)
def small_squares(monkeypatch):
    monkeypatch.setattr(halo_module, "SIDE", 10)


@pytest.fixture
def count_reads(monkeypatch):
    """Return the rows and columns read."""
    seen = []
    original = halo_module._read_around

    def wrapper(*given):
        seen.append(given[-2:])
        return original(*given)

    monkeypatch.setattr(halo_module, "_read_around", wrapper)
    return seen


def blocks(raster, rows, columns, halo=(1, 1)):
    return list(read_halo_blocks(raster, np.asarray(rows), np.asarray(columns), lambda *_: halo))


@pytest.mark.parametrize("profile", [TILES, {}, {"blockysize": 5}])
@pytest.mark.parametrize("halo", [(1, 1), (3, 5), (0, 0)])
def test_every_cell_comes_once_with_the_true_values_around_it(files, tmp_path, profile, halo):
    raster = files.write_raster(tmp_path, ramp(), **profile)
    random = np.random.default_rng(3)
    rows, columns = random.integers(0, HEIGHT, 400), random.integers(0, WIDTH, 400)
    padded = np.pad(ramp().astype(float), 5, constant_values=np.nan)
    seen = []
    for block in blocks(raster, rows, columns, halo):
        seen += block.cells.tolist()
        np.testing.assert_array_equal(block.north + block.rows, rows[block.cells])
        np.testing.assert_array_equal(block.west + block.columns, columns[block.cells])
        assert block.halo == halo
        for down in range(-max(halo[0], 1), max(halo[0], 1) + 1):
            for along in range(-max(halo[1], 1), max(halo[1], 1) + 1):
                np.testing.assert_array_equal(
                    block.values[block.rows + down, block.columns + along],
                    padded[rows[block.cells] + 5 + down, columns[block.cells] + 5 + along],
                )
    assert sorted(seen) == list(range(400))


def test_squares_without_a_cell_are_not_read_and_the_others_only_as_far_as_needed(
    files, tmp_path, count_reads
):
    raster = files.write_raster(tmp_path, ramp())
    blocks(raster, [0, 33, 35, 34], [0, 48, 41, 12])
    assert count_reads == [((-1, 2), (-1, 2)), ((33, 36), (11, 14)), ((32, 37), (40, 50))]


def test_the_halo_is_asked_for_the_middle_of_each_square(files, tmp_path):
    raster = files.write_raster(tmp_path, ramp())
    middles = []

    def halo(row, column):
        middles.append((row, column))
        return (1 + int(row) // 10, 1)

    found = list(read_halo_blocks(raster, np.array([3, 25]), np.array([2, 41]), halo))
    assert middles == [(5.0, 5.0), (25.0, 45.0)]
    assert [block.halo for block in found] == [(1, 1), (3, 1)]
    assert [block.values.shape for block in found] == [(3, 3), (7, 3)]


def test_cells_beyond_the_raster_are_left_out_and_cost_no_read(files, tmp_path, count_reads):
    raster = files.write_raster(tmp_path, ramp())
    assert blocks(raster, [-1, 0, HEIGHT, 0], [0, -1, 0, WIDTH]) == []
    assert blocks(raster, np.zeros(0, int), np.zeros(0, int)) == []
    assert count_reads == []


def test_rows_from_south_to_north_are_turned(files, tmp_path):
    north_up = files.write_raster(tmp_path, ramp()[::-1])
    south_up = dataclasses.replace(north_up, is_south_up=True)
    [block] = blocks(south_up, [1], [2])
    np.testing.assert_array_equal(block.values, ramp()[:3, 1:4])


def test_round_the_earth_the_last_column_is_a_neighbour_of_the_first(files, tmp_path):
    cells = np.arange(18 * 36).reshape(18, 36)
    raster = files.write_raster(tmp_path, cells, west=-180.0, north=90.0, cell=10.0, crs=files.DEGREES)
    for column in (0, 35, 36, -1):
        [block] = blocks(raster, [5], [column], (1, 3))
        np.testing.assert_array_equal(block.values, cells[4:7, np.arange(column - 3, column + 4) % 36])


def test_missing_masked_and_infinite_cells_are_missing_and_the_others_scaled(files, tmp_path):
    stored = np.array([[100.0, -9.0, 3.0], [np.inf, 50.0, np.nan]])
    raster = files.write_raster(tmp_path, stored, nodata=-9.0, scale=0.5, offset=7.0)
    [block] = blocks(raster, [0, 1], [1, 1])
    np.testing.assert_allclose(block.values[1:3], [[57.0, np.nan, 8.5], [np.nan, 32.0, np.nan]])


def test_a_mask_of_the_file_marks_missing_cells(files, tmp_path):
    raster = files.write_raster(tmp_path, ramp())
    mask = np.full((HEIGHT, WIDTH), 255, dtype="uint8")
    mask[4, 6] = 0
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK="YES"), rasterio.open(raster.files[0], "r+") as file:
        file.write_mask(mask)
    [block] = blocks(dataclasses.replace(raster, has_mask=True), [4], [5])
    np.testing.assert_array_equal(np.isnan(block.values), [[0, 0, 0], [0, 0, 1], [0, 0, 0]])


def test_the_band_asked_for_is_read_from_its_file(files, tmp_path):
    stored = np.stack([ramp(), ramp() + 10_000])
    raster = files.write_raster(tmp_path, stored, "bioclim")
    chosen = read_halo_blocks(raster, np.array([3]), np.array([4]), lambda *_: (1, 1), band=1)
    assert next(chosen).values[1, 1] == 10_304
    other = dataclasses.replace(raster, places=((0, 2), (0, 1)))
    chosen = read_halo_blocks(other, np.array([3]), np.array([4]), lambda *_: (1, 1), band=1)
    assert next(chosen).values[1, 1] == 304


def test_a_damaged_block_stops_with_the_place_and_blocks_elsewhere_do_not(files, tmp_path):
    raster = files.write_raster(tmp_path, ramp(), compress="deflate", **TILES)
    whole = raster.files[0].read_bytes()
    raster.files[0].write_bytes(whole[: len(whole) // 2])
    assert blocks(raster, [2], [3])[0].values[1, 1] == 203
    with pytest.raises(InputMistakes) as caught:
        blocks(raster, [2, 36], [3, 49])
    [finding] = caught.value.mistakes
    assert (finding.code, finding.grade, finding.layer) == ("raster-unreadable", "stop", "elevation")
    assert finding.what.startswith("'elevation.tif' cannot be read around column 48, row 35: ")


def test_the_cache_holds_rows_of_squares_and_is_counted_in_bytes(files, tmp_path):
    raster = files.write_raster(tmp_path, ramp())
    squares = [(np.array([0]), (4, 1))]
    small = halo_module._options(raster, squares)["GDAL_CACHEMAX"]
    wide = halo_module._options(dataclasses.replace(raster, width=1_000_000), squares)["GDAL_CACHEMAX"]
    assert small == 64 * 2**20
    assert wide == (3 * 10 + 2 * 4) * 1_000_000 * 4
