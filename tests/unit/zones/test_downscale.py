"""Climate brought to the elevation of zones: rasters whose temperatures fall with height by known rates."""

import geopandas as gpd
import numpy as np
import pytest
import shapely

from geo_scout.model.climate_table import ClimateTable
from geo_scout.zones import downscale as module
from geo_scout.zones.read import read_zones

CELL_M, WEST, NORTH, SIDE = 4_500.0, 300_000.0, 5_200_000.0, 24
TMIN_PER_KM, TMAX_PER_KM = 4.0, 7.0
MONTH = np.arange(12.0)[:, None, None]
ROW, COLUMN = np.mgrid[:SIDE, :SIDE].astype(float)
# From 600 to 2,095 m; the window of 30 km holds some 140 cells with about 800 m between them.
HEIGHTS = 600.0 + 40.0 * COLUMN + 25.0 * ROW


def rasters(files, folder, heights=HEIGHTS, ground=None, **elevation):
    """Return a year of climate on cells of 4.5 km, the cells' own heights, and the ground 200 m above them."""
    grid = {"west": WEST, "north": NORTH, "cell": CELL_M}
    tmin = -5.0 + MONTH - TMIN_PER_KM * heights / 1000
    tmax = 15.0 + MONTH - TMAX_PER_KM * heights / 1000
    rain = np.full((12, *heights.shape), 30.0)
    climate = {"tmin": tmin, "tmax": tmax, "precipitation": rain}
    found = {name: files.write_raster(folder, values, name, **grid) for name, values in climate.items()}
    bands = {"bands": ("climate_elevation_m",)}
    found["climate_elevation"] = files.write_raster(folder, heights, "climate_elevation", **grid, **bands)
    found["elevation"] = files.write_raster(
        folder, heights + 200.0 if ground is None else ground, **grid, **elevation
    )
    return found


def site(row=12, column=12, **columns):
    """Return a patch of 200 m in the middle of one climate cell."""
    east, north = WEST + (column + 0.5) * CELL_M, NORTH - (row + 0.5) * CELL_M
    shape = shapely.box(east - 100, north - 100, east + 100, north + 100)
    return gpd.GeoDataFrame(columns, geometry=[shape], crs=32612, index=[0])


def test_temperatures_follow_the_rates_of_the_cells_around(files, tmp_path):
    """The cell lies at 600 + 12 x 65 = 1,380 m, the patch 200 m above it: 0.8 and 1.4 degC colder."""
    found = read_zones(rasters(files, tmp_path), site())
    tmin, tmax = -5.0 - 4.0 * 1.38, 15.0 - 7.0 * 1.38
    assert found.mean["elevation_m"][0] == pytest.approx(1580.0)
    assert found.cell_monthly["tmin_01_degc"][0] == pytest.approx(tmin)
    assert found.monthly["tmin_01_degc"][0] == pytest.approx(tmin - 0.8)
    assert found.monthly["tmax_12_degc"][0] == pytest.approx(tmax + 11 - 1.4)
    assert found.mean["bio06"][0] == pytest.approx(tmin - 0.8)
    assert found.mean["bio05"][0] == pytest.approx(tmax + 11 - 1.4)
    assert found.correction["climate_tmin_correction_degc"][0] == pytest.approx(-0.8)
    assert found.correction["climate_tmax_correction_degc"][0] == pytest.approx(-1.4)
    assert found.correction["climate_note"][0] == ""
    # The reference cells keep their own climate.
    assert found.climate_cells["bio06"].tolist() == pytest.approx([tmin])


def test_even_heights_take_the_default_rates_and_say_so(files, tmp_path):
    """200 m at 3 and 6.5 degC per km: 0.6 and 1.3 degC."""
    found = read_zones(rasters(files, tmp_path, 1000.0 + 290.0 * (COLUMN % 2)), site())
    assert found.correction["climate_tmin_correction_degc"][0] == pytest.approx(-0.6)
    assert found.correction["climate_tmax_correction_degc"][0] == pytest.approx(-1.3)
    assert found.correction["climate_note"][0] == (
        "default lapse rates (3 and 6.5 degC/km): the climate cells near differ by less than 300 m in height"
    )


def test_few_cells_take_the_seasons_own_rates(files, tmp_path):
    climate = ClimateTable(tmin_degc_per_km=1.0, tmax_degc_per_km=5.0)
    heights = HEIGHTS[:5, :5]
    given = rasters(files, tmp_path, heights, heights + 100.0)
    few = read_zones(given, site(2, 2), climate=climate)
    assert few.correction["climate_tmin_correction_degc"][0] == pytest.approx(-0.1)
    assert few.correction["climate_tmax_correction_degc"][0] == pytest.approx(-0.5)
    assert few.correction["climate_note"][0] == (
        "default lapse rates (1 and 5 degC/km): fewer than 30 climate cells near"
    )


def test_a_patch_without_an_elevation_keeps_the_climate_of_its_cell(files, tmp_path):
    nowhere = np.full((SIDE, SIDE), -9999.0)
    found = read_zones(rasters(files, tmp_path, ground=nowhere, nodata=-9999.0), site())
    assert found.monthly["tmin_01_degc"][0] == pytest.approx(-5.0 - 4.0 * 1.38)
    assert np.isnan(found.correction["climate_tmin_correction_degc"][0])
    assert found.correction["climate_note"][0] == (
        "not brought to the site's elevation: an elevation is missing"
    )


def test_a_deep_valley_is_warned_of_three_times(files, tmp_path):
    """1,000 m below its cell: 7 degC of correction, below every cell near, and a valley floor."""
    found = read_zones(rasters(files, tmp_path, ground=HEIGHTS - 1000.0), site())
    assert found.correction["climate_tmax_correction_degc"][0] == pytest.approx(7.0)
    assert found.correction["climate_note"][0] == (
        "corrected by more than 3 degC in some month; a valley floor, where cold air gathers: minima may be lower than "
        "given; lower or higher than every climate cell near"
    )


def test_crossed_extremes_are_set_equal_and_said(files, tmp_path):
    """8 km up at 4 and 7 degC per km: 20 degC of range become minus 4."""
    found = read_zones(rasters(files, tmp_path, ground=HEIGHTS + 8000.0), site())
    assert found.monthly["tmin_06_degc"][0] == pytest.approx(found.monthly["tmax_06_degc"][0])
    assert found.correction["climate_note"][0].endswith(
        "minimum and maximum crossed in some month and were set equal"
    )


def test_a_stated_elevation_goes_before_the_raster(files, tmp_path):
    found = read_zones(rasters(files, tmp_path), site(stated_elevation_m=[1480.0]))
    assert found.correction["climate_tmin_correction_degc"][0] == pytest.approx(-0.4)


def test_a_season_may_do_without(files, tmp_path):
    found = read_zones(rasters(files, tmp_path), site(), climate=ClimateTable(downscale=False))
    assert found.correction.empty
    assert found.cell_monthly.empty
    assert found.monthly["tmin_01_degc"][0] == pytest.approx(-5.0 - 4.0 * 1.38)


def test_more_cells_than_fit_are_thinned_evenly(files, tmp_path, monkeypatch):
    """Every other cell of 24 x 24 still gives the planted rates."""
    monkeypatch.setattr(module, "_MOST_CELLS", 144)
    taken = []
    fit = module.fit_lapse_rates

    def counting(easting_m, northing_m, cells, rule):
        taken.append(len(cells.elevation_m))
        return fit(easting_m, northing_m, cells, rule)

    monkeypatch.setattr(module, "fit_lapse_rates", counting)
    found = read_zones(rasters(files, tmp_path), site())
    assert max(taken) <= 144
    assert found.correction["climate_tmin_correction_degc"][0] == pytest.approx(-0.8)


def test_heights_on_another_grid_are_taken_at_the_cells_of_tmin(files, tmp_path):
    """Each cell of heights in four: the same rates and heights."""
    fine = HEIGHTS.repeat(2, axis=0).repeat(2, axis=1)
    given = rasters(files, tmp_path)
    given["climate_elevation"] = files.write_raster(
        tmp_path,
        fine,
        "climate_elevation",
        west=WEST,
        north=NORTH,
        cell=CELL_M / 2,
        bands=("climate_elevation_m",),
    )
    found = read_zones(given, site())
    assert found.correction["climate_tmin_correction_degc"][0] == pytest.approx(-0.8)
    assert found.correction["climate_note"][0] == ""
