import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import CRS, Transformer

from geo_scout.model.layers import LayerSet
from geo_scout.zones.relief import STRIP_ROWS, read_relief, warp_elevation


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


def test_an_area_larger_than_the_most_cells_is_averaged_down(files, tmp_path):
    # Columns of 0 and 100 m by turns, 40 m apart, over 880 km: no single column can be told, and each cell is 50 m.
    cells = np.tile(np.array([[0, 100]], dtype="uint8"), (200, 11_000))
    elevation = files.write_raster(
        tmp_path, cells, west=100_000.0, north=5_210_000.0, cell=40.0, nodata=255, compress="deflate"
    )
    relief = warp_elevation(elevation, (100_000, 5_202_000, 980_000, 5_210_000), elevation.crs)
    assert 2048 < max(relief.elevation_m.shape) <= 8192
    inside = relief.elevation_m[~np.isnan(relief.elevation_m)]
    assert abs(np.median(inside) - 50) < 3


def test_rows_beyond_the_first_strip_are_read_like_the_others(files, tmp_path):
    cells = np.arange(2_600.0)[:, None] * np.ones((1, 300))
    elevation = files.write_raster(
        tmp_path, cells, west=500_000.0, north=5_210_000.0, cell=10.0, dtype="float32"
    )
    relief = warp_elevation(elevation, (500_500, 5_184_500, 502_500, 5_209_500), elevation.crs)
    assert relief.zoom is not None
    assert len(relief.elevation_m) > 2 * STRIP_ROWS
    column = relief.elevation_m[:, relief.elevation_m.shape[1] // 2]
    steps = np.diff(column[~np.isnan(column)])[
        2:-2
    ]  # at the raster's edge half a cell is its last one's value
    assert steps.min() > 0
    assert steps.max() - steps.min() < 0.1 * np.median(steps)


@pytest.mark.parametrize(
    ("code", "longitude_deg", "latitude_deg", "cell_m"),
    [(32611, -117.0, 46.0, 30.0), (32612, -117.0, 46.0, 30.0), (32633, 20.5, 69.8, 30.0),
     (32755, 144.3, -37.0, 90.0), (3035, 24.0, 61.0, 25.0), (4326, 11.0, 0.2, 2.7e-4), (2256, -110.0, 46.9, 100.0)],
)  # fmt: skip
def test_every_cell_lies_where_pyproj_puts_it_to_a_tenth_of_a_metre_of_the_map(
    files, tmp_path, code, longitude_deg, latitude_deg, cell_m
):
    """Each cell of the raster holds its own Web Mercator easting, or northing: so the relief tells its own shift."""
    crs = CRS.from_epsg(code)
    east, north = Transformer.from_crs(4326, crs, always_xy=True).transform(longitude_deg, latitude_deg)
    side = 240
    west, top = east - side / 2 * cell_m, north + side / 2 * cell_m
    middles = (np.arange(side) + 0.5) * cell_m
    places = np.meshgrid(west + middles, top - middles)
    mercator_m = Transformer.from_crs(crs, 3857, always_xy=True).transform(*places)
    for axis in (0, 1):
        origin_m = mercator_m[axis].min()
        raster = files.write_raster(
            tmp_path, mercator_m[axis] - origin_m, crs=crs, west=west, north=top, cell=cell_m, dtype="float64"
        )
        bounds = (
            west + 20 * cell_m,
            top - (side - 20) * cell_m,
            west + (side - 20) * cell_m,
            top - 20 * cell_m,
        )
        relief = warp_elevation(raster, bounds, crs)
        row, column = np.mgrid[: relief.elevation_m.shape[0], : relief.elevation_m.shape[1]]
        lies_m = (
            relief.transform.c + (column + 0.5) * relief.transform.a,
            relief.transform.f + (row + 0.5) * relief.transform.e,
        )
        easting, northing = Transformer.from_crs(3857, crs, always_xy=True).transform(*lies_m)
        from_edge = np.min(
            [easting - west, west + side * cell_m - easting, top - northing, northing - top + side * cell_m],
            axis=0,
        )
        is_between_cells = (
            from_edge > cell_m / 2
        )  # nearer to its edge than that, the raster says nothing of slopes
        shift_m = (relief.elevation_m + origin_m - lies_m[axis])[is_between_cells]
        assert is_between_cells.mean() > 0.6
        assert np.isfinite(shift_m).all()
        # The warp's 0.1 m, and what a straight line between two cells takes off a curve. Zoom 17 has pixels of 1.19 m.
        assert np.abs(shift_m).max() < 0.2


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
