"""The relief of grids in other dress: the same picture, cell by cell."""

import dataclasses

import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import CRS

from geo_scout.errors import InputMistakes
from geo_scout.zones.relief import warp_elevation

DEGREES = CRS.from_epsg(4326)
AREA = (-110.6, 46.4, -109.4, 47.6)
PLAIN = Affine(0.02, 0.0, -111.0, 0.0, -0.02, 48.0)
SIZE = 100


def hills():
    row, column = np.mgrid[:SIZE, :SIZE]
    return (1000.0 + 3.0 * row + 2.0 * column).astype("float32")


def write(files, folder, cells, of_file, north_up=None, **changes):
    raster = files.write_raster(folder, cells, crs=DEGREES, transform=of_file)
    return dataclasses.replace(raster, transform=north_up or of_file, **changes)


@pytest.fixture
def plain(files, tmp_path):
    (tmp_path / "plain").mkdir()
    return warp_elevation(write(files, tmp_path / "plain", hills(), PLAIN), AREA, DEGREES)


def test_rows_from_the_south_make_the_same_picture(files, tmp_path, plain):
    south = PLAIN * Affine.translation(0, SIZE) * Affine.scale(1, -1)
    raster = write(files, tmp_path, hills()[::-1], south, PLAIN, is_south_up=True)
    assert raster.file_transform.almost_equals(south, 1e-9)
    relief = warp_elevation(raster, AREA, DEGREES)
    np.testing.assert_allclose(relief.elevation_m, plain.elevation_m, atol=1e-3)


def test_a_grid_from_0_to_360_makes_the_same_picture(files, tmp_path, plain):
    raster = write(files, tmp_path, hills(), Affine.translation(360.0, 0.0) * PLAIN)
    relief = warp_elevation(raster, AREA, DEGREES)
    assert relief.transform.almost_equals(plain.transform, 1e-3)
    np.testing.assert_allclose(relief.elevation_m, plain.elevation_m, atol=1e-3)


def test_the_whole_earth_to_both_poles_can_be_shown_in_part(files, tmp_path):
    cells = np.tile(np.arange(180.0)[:, None], (1, 360)).astype("float32")
    raster = write(files, tmp_path, cells, Affine(1.0, 0.0, 0.0, 0.0, -1.0, 90.0))
    relief = warp_elevation(raster, AREA, DEGREES)
    # The value is the row: at 47 N 90 - 47 - 0.5 between the centres of two cells.
    middle = relief.elevation_m[relief.elevation_m.shape[0] // 2]
    assert not np.isnan(middle).any()
    assert middle.mean() == pytest.approx(42.5, abs=0.8)


def test_masked_cells_stay_empty(files, tmp_path):
    raster = write(files, tmp_path, hills(), PLAIN, has_mask=True)
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True), rasterio.open(raster.files[0], "r+") as file:
        file.write_mask(np.tile(np.arange(SIZE) < SIZE // 2, (SIZE, 1)))
    relief = warp_elevation(raster, AREA, DEGREES)
    width = relief.elevation_m.shape[1]
    assert not np.isnan(relief.elevation_m[:, : width // 2 - 3]).any()
    assert np.isnan(relief.elevation_m[:, width // 2 + 3 :]).all()


def test_a_reference_system_of_the_season_is_used_where_the_file_has_none(files, tmp_path, plain):
    raster = files.write_raster(tmp_path, hills(), crs=DEGREES, transform=PLAIN)
    with rasterio.open(raster.files[0], "r+") as file:
        file.crs = rasterio.crs.CRS()
    relief = warp_elevation(dataclasses.replace(raster, transform=PLAIN), AREA, DEGREES)
    np.testing.assert_allclose(relief.elevation_m, plain.elevation_m, atol=1e-3)


def test_a_damaged_tile_is_said_and_no_traceback(files, tmp_path):
    profile = {"tiled": True, "blockxsize": 16, "blockysize": 16, "compress": "deflate"}
    cells = np.random.default_rng(1).random((SIZE, SIZE)).astype("float32")
    raster = files.write_raster(tmp_path, cells, crs=DEGREES, transform=PLAIN, **profile)
    raster = dataclasses.replace(raster, transform=PLAIN)
    whole = bytearray(raster.files[0].read_bytes())
    for at in range(len(whole) // 3, len(whole) // 3 + 3000):
        whole[at] ^= 0x5A
    raster.files[0].write_bytes(whole)
    with pytest.raises(InputMistakes) as caught:
        warp_elevation(raster, AREA, DEGREES)
    [finding] = caught.value.mistakes
    assert (finding.code, finding.grade, finding.layer) == ("raster-unreadable", "stop", "elevation")
    assert finding.what.startswith("'elevation.tif' cannot be read: it is cut short or damaged. ")
