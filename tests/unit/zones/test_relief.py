import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import Transformer

from geo_scout.model.layers import LayerSet
from geo_scout.zones.relief import LONGEST_SIDE_PX, read_relief, warp_elevation


def sloping(files, folder, size=60, **keys):
    """Write 300 m cells around 110.9 W 47 N (zone 12) that rise 1 m a column eastwards."""
    cells = np.ones((size, 1)) * np.arange(float(size))
    return files.write_raster(folder, cells, west=500_000.0, north=5_210_000.0, cell=300.0, **keys)


def middle(elevation):
    west, north = elevation.transform.c, elevation.transform.f
    side = elevation.width * elevation.transform.a
    return west + side * 0.4, north - side * 0.6, west + side * 0.6, north - side * 0.4


def test_the_relief_shows_the_stored_elevation_in_place(files, tmp_path):
    elevation = sloping(files, tmp_path)
    relief = warp_elevation(elevation, middle(elevation), elevation.crs)
    height, width = relief.elevation_m.shape
    row, column = height // 2, width // 4
    to_utm = Transformer.from_crs(3857, elevation.crs, always_xy=True)
    easting_m, _ = to_utm.transform(*(relief.transform @ (column + 0.5, row + 0.5)))
    # The slope is 1 m in 300 m, so bilinear values are exact: metres follow from the easting of cell centres.
    expected_m = (easting_m - 500_000.0) / 300.0 - 0.5
    assert relief.elevation_m[row, column] == pytest.approx(expected_m, abs=0.05)
    assert relief.elevation_m.dtype == np.float32


def test_scale_offset_and_nodata_are_minded(files, tmp_path):
    cells = np.full((60, 60), 200, dtype="int16")
    cells[:, :30] = -99
    elevation = files.write_raster(
        tmp_path, cells, west=500_000.0, north=5_210_000.0, cell=300.0, nodata=-99, scale=0.5, offset=10.0
    )
    relief = warp_elevation(elevation, middle(elevation), elevation.crs)
    known = relief.elevation_m[~np.isnan(relief.elevation_m)]
    assert np.unique(known).tolist() == [110.0]
    assert 0.3 < np.isnan(relief.elevation_m).mean() < 0.7


@pytest.mark.parametrize(("value", "scale"), [(np.inf, 1.0), (-np.inf, 1.0), (3e38, 1e6)])
def test_infinite_cells_are_empty(files, tmp_path, value, scale):
    cells = np.full((60, 60), 200.0, dtype="float32")
    cells[30, 30] = value
    elevation = files.write_raster(
        tmp_path, cells, west=500_000.0, north=5_210_000.0, cell=300.0, scale=scale
    )
    relief = warp_elevation(elevation, middle(elevation), elevation.crs)
    assert not np.isinf(relief.elevation_m).any()
    assert np.isfinite(relief.elevation_m).any()


def test_beyond_the_raster_there_is_nothing(files, tmp_path):
    elevation = sloping(files, tmp_path)
    west, south, east, north = middle(elevation)
    assert warp_elevation(elevation, (west + 1e6, south, east + 1e6, north), elevation.crs) is None


def test_ground_off_the_raster_stays_empty_where_the_grid_lies_askew_on_the_map(files, tmp_path):
    cells = np.full((60, 60), 500.0)
    raster = files.write_raster(tmp_path, cells, west=200_000.0, north=5_300_000.0, cell=3000.0)
    relief = warp_elevation(raster, (200_000, 5_120_000, 380_000, 5_300_000), raster.crs)
    row, column = np.mgrid[: relief.elevation_m.shape[0], : relief.elevation_m.shape[1]]
    easting_m, northing_m = Transformer.from_crs(3857, raster.crs, always_xy=True).transform(
        relief.transform.c + (column + 0.5) * relief.transform.a,
        relief.transform.f + (row + 0.5) * relief.transform.e,
    )
    outside_m = np.max(
        [200_000 - easting_m, easting_m - 380_000, 5_120_000 - northing_m, northing_m - 5_300_000], axis=0
    )
    is_empty = np.isnan(relief.elevation_m)
    assert (outside_m > 3000).any()
    assert is_empty[outside_m > 3000].all()
    assert not is_empty[outside_m < -3000].any()
    np.testing.assert_allclose(relief.elevation_m[~is_empty], 500.0)


def test_a_large_area_is_averaged_down_to_the_longest_side(files, tmp_path):
    cells = np.tile(np.array([[0.0, 100.0]]), (2000, 1000))
    elevation = files.write_raster(tmp_path, cells, west=500_000.0, north=5_210_000.0, cell=10.0)
    relief = warp_elevation(elevation, (500_000, 5_190_000, 520_000, 5_210_000), elevation.crs)
    assert max(relief.elevation_m.shape) <= LONGEST_SIDE_PX


def test_read_relief_follows_the_districts_or_else_the_infestations(files, tmp_path):
    elevation = sloping(files, tmp_path)
    west, south, east, north = middle(elevation)
    weeds = gpd.GeoDataFrame(geometry=[shapely.box(west, south, east, north)], crs=elevation.crs)
    districts = gpd.GeoDataFrame(
        geometry=[shapely.box(west - 3000, south - 3000, east + 3000, north + 3000)], crs=elevation.crs
    )
    small = read_relief(LayerSet(elevation.crs, {"infestations": weeds}, {"elevation": elevation}))
    large = read_relief(
        LayerSet(elevation.crs, {"infestations": weeds, "boundaries": districts}, {"elevation": elevation})
    )
    assert large.elevation_m.size > small.elevation_m.size
    assert read_relief(LayerSet(elevation.crs, {"infestations": weeds}, {})) is None
