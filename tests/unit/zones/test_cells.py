import dataclasses

import numpy as np
import pytest

from geo_scout.errors import InputMistakes
from geo_scout.zones import cells as cells_module
from geo_scout.zones.cells import read_cells

TILES = {"tiled": True, "blockxsize": 16, "blockysize": 16}
WIDTH, HEIGHT = 50, 37  # no multiple of 16, and not the same: the last blocks are cut, and an axis swap shows


def ramp(bands=1):
    """Return cells whose value tells band, row and column: 10,000 band + 100 row + column."""
    row, column = np.mgrid[:HEIGHT, :WIDTH]
    return np.stack([10_000 * band + 100 * row + column for band in range(bands)]).astype("int32")


@pytest.fixture
def count_reads(monkeypatch):
    """Return the windows read, each as (column, row, width, height)."""
    seen = []
    original = cells_module._read_window

    def wrapper(file, window, *others):
        seen.append((window.col_off, window.row_off, window.width, window.height))
        return original(file, window, *others)

    monkeypatch.setattr(cells_module, "_read_window", wrapper)
    return seen


@pytest.mark.parametrize("profile", [TILES, {}, {"blockysize": 5}])
def test_reads_the_cells_asked_for_in_their_order(files, tmp_path, profile):
    raster = files.write_raster(tmp_path, ramp(2), "bioclim", **profile)
    random = np.random.default_rng(3)
    rows, columns = random.integers(0, HEIGHT, 500), random.integers(0, WIDTH, 500)
    expected = np.stack([100 * rows + columns, 10_000 + 100 * rows + columns])
    np.testing.assert_array_equal(read_cells(raster, rows, columns), expected)


def test_block_edges_and_raster_corners(files, tmp_path):
    raster = files.write_raster(tmp_path, ramp(), **TILES)
    rows = np.array([0, 15, 16, 31, 32, 36, 0, 36, 15, 16])
    columns = np.array([0, 15, 16, 47, 48, 49, 49, 0, 16, 15])
    np.testing.assert_array_equal(read_cells(raster, rows, columns)[0], 100 * rows + columns)


def test_each_block_is_read_once_and_only_where_a_cell_is_wanted(files, tmp_path, count_reads):
    raster = files.write_raster(tmp_path, ramp(3), "bioclim", **TILES)
    rows, columns = np.array([0, 36, 1, 35, 17, 2]), np.array([0, 49, 15, 48, 20, 0])
    read_cells(raster, rows, columns)
    # Blocks (0, 0), (1, 1) and the cut corner (3, 2), for all three bands at once.
    assert sorted(count_reads) == [(0, 0, 16, 16), (16, 16, 16, 16), (48, 32, 2, 5)]


def test_the_whole_raster_is_one_read_per_block(files, tmp_path, count_reads):
    raster = files.write_raster(tmp_path, ramp(), **TILES)
    rows, columns = (grid.ravel() for grid in np.mgrid[:HEIGHT, :WIDTH])
    read_cells(raster, rows, columns)
    assert len(count_reads) == len(set(count_reads)) == 4 * 3


def test_cells_beyond_the_raster_are_missing_and_cost_no_read(files, tmp_path, count_reads):
    raster = files.write_raster(tmp_path, ramp(), **TILES)
    rows, columns = np.array([-1, 0, HEIGHT, 0, -5]), np.array([0, -1, 0, WIDTH, 900])
    assert np.isnan(read_cells(raster, rows, columns)).all()
    assert count_reads == []
    assert read_cells(raster, np.zeros(0, int), np.zeros(0, int)).shape == (1, 0)


def test_missing_cells_are_missing_and_the_others_are_scaled(files, tmp_path):
    stored = np.array([[100, -9999], [250, 0]], dtype="int16")
    raster = files.write_raster(tmp_path, stored, nodata=-9999, scale=0.1, offset=-5.0)
    rows, columns = np.array([0, 0, 1, 1]), np.array([0, 1, 0, 1])
    np.testing.assert_allclose(read_cells(raster, rows, columns)[0], [5.0, np.nan, 20.0, -5.0], rtol=1e-15)


def test_a_nodata_value_that_is_no_single_precision_number_is_still_recognised(files, tmp_path):
    """-9999.9 stored in 32 bits is -9999.900390625; the file hands out that number as its nodata value."""
    import rasterio

    raster = files.write_raster(tmp_path, np.array([[1.0, -9999.9]], dtype="float32"), nodata=-9999.9)
    with rasterio.open(raster.files[0]) as file:
        raster = dataclasses.replace(raster, nodata=file.nodatavals)
    assert np.isnan(read_cells(raster, np.array([0, 0]), np.array([0, 1]))[0]).tolist() == [False, True]


def test_a_damaged_block_stops_with_the_place_and_a_remedy(files, tmp_path):
    raster = files.write_raster(tmp_path, ramp(), compress="deflate", **TILES)
    whole = raster.files[0].read_bytes()
    raster.files[0].write_bytes(whole[: len(whole) // 2])
    rows, columns = (grid.ravel() for grid in np.mgrid[:HEIGHT, :WIDTH])
    with pytest.raises(InputMistakes) as caught:
        read_cells(raster, rows, columns)
    [finding] = caught.value.mistakes
    assert (finding.code, finding.grade, finding.layer) == ("raster-unreadable", "stop", "elevation")
    assert finding.what.startswith("'elevation.tif' cannot be read at column ")
    assert finding.fix == "Copy or download it again, or export it anew; the disk may have been full."
