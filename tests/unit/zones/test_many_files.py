import dataclasses

import numpy as np
import pytest

from geo_scout.errors import InputMistakes
from geo_scout.zones import cells as cells_module
from geo_scout.zones.cells import read_cells

HEIGHT, WIDTH = 5, 4


def three(files, folder, **keys):
    """Write b1 and b2 in one file, b3 in another; stored is 1000 band + 10 row + column."""
    row, column = np.mgrid[:HEIGHT, :WIDTH]
    first, second = (
        files.write_raster(
            folder, np.stack([1000 * band + 10 * row + column for band in bands]), name, **keys
        )
        for name, bands in (("bioclim", (1, 2)), ("elevation", (3,)))
    )
    return dataclasses.replace(
        first,
        files=(second.files[0], first.files[0]),
        bands=("bio01", "bio02", "bio03"),
        places=((1, 2), (0, 1), (1, 1)),
        nodata=(2012.0, None, 1000.0),
        scale=(1.0, 1.0, 2.0),
        offset=(0.0, 0.5, 0.0),
    )


def test_each_band_comes_from_its_file_and_place_and_each_file_is_opened_once(files, tmp_path, monkeypatch):
    raster = three(files, tmp_path)
    opened = []
    original = cells_module.rasterio.open
    monkeypatch.setattr(cells_module.rasterio, "open", lambda path: (opened.append(path), original(path))[1])
    rows, columns = np.array([0, 1, 4, 9]), np.array([0, 2, 3, 0])
    np.testing.assert_array_equal(
        read_cells(raster, rows, columns),
        [
            [2000.0, np.nan, 2043.0, np.nan],  # second band of the second file; 2012 is its nodata
            [3000.5, 3012.5, 3043.5, np.nan],
            [np.nan, 2024.0, 2086.0, np.nan],  # times two
        ],
    )
    assert len(opened) == len(set(opened)) == 2


def test_rows_from_the_south(files, tmp_path):
    row, column = np.mgrid[:HEIGHT, :WIDTH]
    raster = files.write_raster(tmp_path, 10 * (HEIGHT - 1 - row) + column)  # as a south-up file keeps them
    raster = dataclasses.replace(raster, is_south_up=True)
    rows, columns = np.array([0, 4, 2, -1]), np.array([0, 3, 1, 0])
    np.testing.assert_array_equal(read_cells(raster, rows, columns)[0], [0.0, 43.0, 21.0, np.nan])


def test_a_file_that_went_away_is_said(files, tmp_path):
    raster = three(files, tmp_path)
    raster.files[0].unlink()
    with pytest.raises(InputMistakes) as caught:
        read_cells(raster, np.array([0]), np.array([0]))
    [finding] = caught.value.mistakes
    assert finding.what.startswith("'elevation.tif' cannot be read: it is cut short or damaged. ")
    assert str(tmp_path) not in finding.what
