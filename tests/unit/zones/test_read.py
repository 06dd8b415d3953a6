import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely
from scipy.sparse import csr_array

from geo_scout.errors import InputMistakes
from geo_scout.zones import read as read_module
from geo_scout.zones.read import average, read_zones

MONTHS = np.arange(12.0)[:, None, None]


def zones(*shapes, crs=32612, index=None):
    return gpd.GeoDataFrame(geometry=list(shapes), crs=crs, index=index)


def monthly(files, folder, height=4, width=5, cell=10.0, **keys):
    """Write a year: the column sets the cold, the row the rain; north is at 0, west at 0."""
    row, column = np.mgrid[:height, :width].astype(float)
    tmin = -10.0 + column + MONTHS + 0 * row
    return {
        "tmin": files.write_raster(folder, tmin, "tmin", cell=cell, **keys),
        "tmax": files.write_raster(folder, tmin + 10.0, "tmax", cell=cell, **keys),
        "precipitation": files.write_raster(
            folder, 10.0 * (row + 1) + 0 * MONTHS + 0 * column, "precipitation", cell=cell, **keys
        ),
    }


def test_the_mean_of_a_zone_and_the_share_that_has_a_value(files, tmp_path):
    """Cells 1 2 / 3 missing: a zone over all four has the mean 2 of three quarters of its area."""
    raster = files.write_raster(tmp_path, np.array([[1.0, 2.0], [3.0, -1.0]]), nodata=-1.0)
    table = read_zones(
        {"elevation": raster}, zones(shapely.box(0, -20, 20, 0), shapely.box(10, -20, 20, -10))
    )
    assert table.mean["elevation_m"].tolist() == pytest.approx([2.0, np.nan], nan_ok=True)
    assert table.valid_share["elevation"].tolist() == pytest.approx([0.75, 0.0])


def test_a_zone_over_the_edge_has_the_mean_of_what_is_there_and_says_how_much_that_is(files, tmp_path):
    """20 m of its 30 m lie on the raster: one on the cell of 1, one on the cell of 2."""
    raster = files.write_raster(tmp_path, np.array([[1.0, 2.0]]))
    outside = shapely.box(500, 500, 510, 510)
    table = read_zones({"elevation": raster}, zones(shapely.box(0, -10, 30, 0), outside))
    assert table.mean["elevation_m"].tolist() == pytest.approx([1.5, np.nan], nan_ok=True)
    assert table.valid_share["elevation"].tolist() == pytest.approx([2 / 3, 0.0])


def test_more_cells_than_fit_in_memory_stop_in_words(files, tmp_path):
    """A square kilometre has 10^8 cells of 10 cm; another one, outside the raster, does not count."""
    raster = files.write_raster(tmp_path, np.ones((2, 2)), cell=0.1)
    with pytest.raises(InputMistakes) as raised:
        read_zones(
            {"elevation": raster}, zones(shapely.box(0, -1000, 1000, 0), shapely.box(5000, 0, 6000, 1000))
        )
    assert str(raised.value) == (
        "stop: layers.elevation\n"
        "  sites and populations cover about 100 million of its cells of 0.1 x 0.1 metre; at most 50 million are read.\n"
        "  Fix: Resample it to larger cells in your GIS, for instance of 10 m."
    )


def test_points_take_the_value_of_their_cell(files, tmp_path):
    raster = files.write_raster(tmp_path, np.array([[1.0, 2.0], [3.0, 4.0]]))
    points = zones(shapely.Point(15, -5), shapely.Point(5, -15), shapely.Point(25, -5))
    table = read_zones({"elevation": raster}, points)
    assert table.mean["elevation_m"].tolist() == pytest.approx([2.0, 3.0, np.nan], nan_ok=True)
    assert table.valid_share["elevation"].tolist() == [1.0, 1.0, 0.0]


def test_stored_values_become_metres_before_they_are_averaged(files, tmp_path):
    stored = np.array([[100, 300]], dtype="int16")
    raster = files.write_raster(tmp_path, stored, nodata=-1, scale=0.5, offset=7.0)
    table = read_zones({"elevation": raster}, zones(shapely.box(5, -10, 20, 0)))
    # A third of the zone on 100 x 0.5 + 7 = 57 m, two thirds on 157 m.
    assert table.mean["elevation_m"][0] == pytest.approx(57 / 3 + 2 * 157 / 3)


def test_infinite_cells_count_as_missing(files, tmp_path):
    raster = files.write_raster(tmp_path, np.array([[5.0, np.inf, -np.inf, np.nan]]))
    table = read_zones({"elevation": raster}, zones(shapely.box(0, -10, 40, 0)))
    assert table.mean["elevation_m"][0] == 5.0
    assert table.valid_share["elevation"][0] == 0.25


def test_climate_of_a_zone_from_its_monthly_means(files, tmp_path):
    """Half on column 1, half on column 2, row 0: tmin of January -8.5, of December 2.5; rain 10 a month."""
    table = read_zones(monthly(files, tmp_path), zones(shapely.box(15, -10, 25, 0)))
    climate = table.mean.iloc[0]
    assert climate["bio06"] == pytest.approx(-8.5)
    assert climate["bio05"] == pytest.approx(12.5)
    assert climate["bio01"] == pytest.approx(2.0)  # mean of -3.5 and +7.5... of both ends: (-8.5 + 12.5) / 2
    assert climate["bio12"] == pytest.approx(120.0)
    assert "elevation_m" not in table.mean


def test_climate_cells_and_which_zone_touches_which(files, tmp_path):
    first, second = shapely.box(2, -8, 8, -2), shapely.box(5, -15, 15, -5)
    table = read_zones(monthly(files, tmp_path), zones(first, second))
    cells = table.climate_cells
    # The first touches cell (0, 0); the second (0, 0), (0, 1), (1, 0) and (1, 1): rain 120 and 240 mm.
    touched = table.touches.toarray()
    assert set(np.unique(touched)) == {0.0, 1.0}
    assert sorted(cells["bio12"][touched[0] > 0]) == pytest.approx([120.0])
    assert sorted(cells["bio12"][touched[1] > 0]) == pytest.approx([120.0, 120.0, 240.0, 240.0])
    assert sorted(cells["bio06"][touched[1] > 0]) == pytest.approx([-10.0, -10.0, -9.0, -9.0])
    assert len(table.cells_touched(np.array([0, 1]))) == 4
    assert len(table.cells_touched(np.array([0]))) == 1


def test_monthly_rasters_on_different_grids_meet_at_the_cells_of_tmin(files, tmp_path):
    """Rain comes in cells of 25 m and in another reference system; tmin leads with cells of 10 m."""
    rasters = monthly(files, tmp_path)
    coarse = np.array([[1.0, 2.0], [3.0, 4.0]]) * np.ones((12, 1, 1))
    rasters["precipitation"] = files.write_raster(tmp_path, coarse, "precipitation", cell=25.0)
    table = read_zones(rasters, zones(shapely.box(0, -40, 50, 0)))
    # Columns 0 and 1 of tmin (centres 5 and 15) lie in the west half, 2 (centre 25) to 4 in the east half;
    # rows 0 and 1 in the north half, 2 and 3 (centres -25 and -35) in the south half.
    west, east = [12.0, 12.0], [24.0, 24.0, 24.0]
    south_west, south_east = [36.0, 36.0], [48.0, 48.0, 48.0]
    expected = [*west, *east] * 2 + [*south_west, *south_east] * 2
    np.testing.assert_allclose(table.climate_cells["bio12"], expected)
    # The mean of the zone is taken on each raster's own cells: 25 m of rain row 0, 15 m of row 1.
    assert table.mean["bio12"][0] == pytest.approx(12 * (1.5 * 25 + 3.5 * 15) / 40)


def test_cells_with_no_place_on_the_other_raster_are_missing(files, tmp_path):
    rasters = monthly(files, tmp_path)
    short = np.ones((12, 2, 5))
    rasters["precipitation"] = files.write_raster(tmp_path, short, "precipitation")
    table = read_zones(rasters, zones(shapely.box(0, -40, 50, 0)))
    assert table.climate_cells["bio12"].isna().tolist() == [False] * 10 + [True] * 10
    assert table.climate_cells["bio06"].notna().all()
    assert table.valid_share["precipitation"][0] == pytest.approx(0.5)
    assert table.valid_share["tmin"][0] == pytest.approx(1.0)


def test_a_ready_bioclim_raster_is_used_instead_of_the_monthly_ones(files, tmp_path):
    rasters = monthly(files, tmp_path)
    stored = np.stack([np.full((4, 5), 33.0), np.full((4, 5), 440.0)])
    rasters["bioclim"] = files.write_raster(tmp_path, stored, "bioclim", bands=("bio05", "bio12"))
    table = read_zones(rasters, zones(shapely.box(15, -10, 25, 0)))
    assert list(table.mean) == ["bio05", "bio12"]
    assert table.mean.iloc[0].tolist() == [33.0, 440.0]
    assert table.climate_cells["bio12"].tolist() == [440.0, 440.0]


@pytest.mark.parametrize("names", [(), ("tmin",), ("tmin", "precipitation")])
def test_without_a_whole_climate_there_is_none(files, tmp_path, names):
    rasters = {name: raster for name, raster in monthly(files, tmp_path).items() if name in names}
    table = read_zones(rasters, zones(shapely.box(0, -10, 10, 0)))
    assert list(table.mean) == []
    assert len(table.mean) == 1
    assert table.cells_touched(np.array([0])).empty
    assert list(table.valid_share) == list(names)


def test_coverage_is_taken_once_for_each_grid(files, tmp_path, monkeypatch):
    taken = []
    original = read_module.measure_coverage
    monkeypatch.setattr(
        read_module, "measure_coverage", lambda *given: taken.append(given[2].a) or original(*given)
    )
    rasters = {
        "elevation": files.write_raster(tmp_path, np.ones((2, 2)), cell=20.0),
        **monthly(files, tmp_path),
    }
    read_zones(rasters, zones(shapely.box(0, -10, 10, 0)))
    assert taken == [20.0, 10.0]


def test_reference_land_is_asked_of_the_climate_only(files, tmp_path):
    index = pd.MultiIndex.from_tuples([("patch", "ashthorn", "A-1"), ("reference", "boundaries", "1")])
    rasters = {"elevation": files.write_raster(tmp_path, np.full((4, 5), 9.0)), **monthly(files, tmp_path)}
    table = read_zones(rasters, zones(shapely.box(0, -10, 10, 0), shapely.box(0, -40, 50, 0), index=index))
    assert table.mean["elevation_m"].tolist() == pytest.approx([9.0, np.nan], nan_ok=True)
    assert table.mean["bio12"].tolist() == pytest.approx([120.0, 300.0])  # mean of 120, 240, 360, 480
    assert len(table.cells_touched(np.array([1]))) == 20
    assert table.rows_of("reference", "boundaries", ["1"]).tolist() == [1]


def test_average_of_bands_with_gaps_by_hand():
    weights = csr_array(np.array([[1.0, 3.0], [0.0, 0.0]]))
    values = np.array([[10.0, 20.0], [np.nan, 5.0]])
    mean, share = average(weights, values)
    np.testing.assert_allclose(mean, [[17.5, np.nan], [5.0, np.nan]])
    np.testing.assert_allclose(share, [0.75, 0.0])  # of the worst band
