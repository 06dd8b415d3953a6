import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely
from scipy.sparse import csr_array

from geo_scout.model.quantities import QUANTITIES
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.quantities import climate_variables, collect_quantities
from geo_scout.zones.read import read_zones


def zone_table(rows, climate=True):
    """Return a zone table of (elevation_m, bio06, bio12) by index; zone n touches cell n."""
    index = pd.MultiIndex.from_tuples(list(rows))
    columns = ["elevation_m", "bio06", "bio12"] if climate else ["elevation_m"]
    mean = pd.DataFrame([values[: len(columns)] for values in rows.values()], index=index, columns=columns)
    cells = mean[columns[1:]].reset_index(drop=True) if climate else pd.DataFrame()
    touches = csr_array(np.eye(len(rows))) if climate else csr_array((len(rows), 0))
    return ZoneTable(mean, pd.DataFrame(index=index), cells, touches)


def collect(books, rows, zones, populations=(), variables=("bio06", "bio12"), **tables):
    profile = books.agent(climate={"variables": list(variables)}, **tables)
    sites, evidence = books.sites(rows), books.evidence(rows, populations)
    return collect_quantities(profile, books.season(profile), sites, evidence, zones)


PATCHES = {
    ("patch", "ashthorn", "A-1"): (900.0, -12.0, 400.0),
    ("patch", "ashthorn", "A-2"): (950.0, -13.0, 500.0),
}


def test_every_quantity_of_the_list_is_there(books):
    columns = collect(books, [books.site("A-1"), books.site("A-2")], zone_table(PATCHES))
    assert set(columns) == set(QUANTITIES)


def test_site_columns_come_in_the_order_of_the_patches(books):
    rows = [books.site("A-1", infested_ha=1.0, host_around_ha=7.0), books.site("A-2", infested_ha=2.0)]
    turned = dict(reversed(PATCHES.items()))
    columns = collect(books, rows, zone_table(turned))
    np.testing.assert_array_equal(columns["infested_ha"], [1.0, 2.0])
    np.testing.assert_array_equal(columns["host_around_ha"], [7.0, np.nan])
    np.testing.assert_array_equal(columns["elevation_m"], [900.0, 950.0])
    np.testing.assert_allclose(columns["site_climate"], [[-12.0, np.log(401.0)], [-13.0, np.log(501.0)]])


def test_rain_is_logged_everywhere_and_temperatures_nowhere(books):
    known = [{"name": "Old ground", "climate": {"bio06": -11.0, "bio12": 299.0}, "elevation_m": 1020.0}]
    columns = collect(books, [books.site("A-1")], zone_table(PATCHES), known_populations=known)
    np.testing.assert_allclose(columns["population_climate"], [[-11.0, np.log(300.0)]])
    np.testing.assert_allclose(columns["climate_cells"], [[-12.0, np.log(401.0)]])
    assert columns["climate_variables"].tolist() == ["bio06", "bio12"]


def test_populations_in_a_patch_outside_and_known_come_in_this_order(books):
    rows = {
        **PATCHES,
        ("population", "stem weevil", "at R9"): (700.0, -9.0, 300.0),
        ("known population", "stem weevil", "Gorge"): (650.0, -8.0, 250.0),
    }
    known = [
        {"name": "Gorge", "longitude_deg": -110.0, "latitude_deg": 47.0, "climate": {"bio06": -7.5}},
        {"name": "Far ground", "climate": {"bio12": 99.0}},
    ]
    populations = [{"site_id": "A-2", "name": "Bend"}, {"population_id": "at R9", "name": "find at R9"}]
    sites = [books.site("A-1"), books.site("A-2")]
    columns = collect(books, sites, zone_table(rows), populations, known_populations=known)
    assert columns["population_names"].tolist() == ["Bend", "find at R9", "Gorge", "Far ground"]
    np.testing.assert_array_equal(columns["population_elevation_m"], [950.0, 700.0, 650.0, np.nan])
    # A stated value wins over the raster's at the same place; what nobody states is missing.
    np.testing.assert_allclose(
        columns["population_climate"],
        [[-13.0, np.log(501.0)], [-9.0, np.log(301.0)], [-7.5, np.log(251.0)], [np.nan, np.log(100.0)]],
    )


def test_a_stated_elevation_wins_over_the_raster(books):
    rows = {**PATCHES, ("known population", "stem weevil", "Gorge"): (650.0, -8.0, 250.0)}
    known = [{"name": "Gorge", "longitude_deg": -110.0, "latitude_deg": 47.0, "elevation_m": 934.0}]
    columns = collect(books, [books.site("A-1")], zone_table(rows), known_populations=known)
    assert columns["population_elevation_m"].tolist() == [934.0]


def test_only_cells_that_hold_the_host_give_the_covariance(books):
    rows = {**PATCHES, ("patch", "other weed", "B-1"): (1.0, 30.0, 1.0)}
    columns = collect(books, [books.site("A-1"), books.site("A-2")], zone_table(rows))
    assert sorted(columns["climate_cells"][:, 0]) == [-13.0, -12.0]


def test_reference_land_gives_the_cells_where_the_season_names_it(books):
    rows = {**PATCHES, ("reference", "boundaries", "1"): (np.nan, 20.0, 999.0)}
    columns = collect(books, [books.site("A-1")], zone_table(rows))
    np.testing.assert_allclose(columns["climate_cells"], [[20.0, np.log(1000.0)]])


def test_without_climate_rasters_everything_climatic_is_missing(books):
    columns = collect(books, [books.site("A-1")], zone_table(PATCHES, climate=False))
    assert np.isnan(columns["site_climate"]).all()
    assert columns["population_climate"].shape == (0, 2)
    assert columns["climate_cells"].shape == (0, 2)


def test_without_any_raster_there_are_still_columns(books):
    zones = gpd.GeoDataFrame(
        geometry=[shapely.box(0, 0, 1, 1)],
        index=pd.MultiIndex.from_tuples([("patch", "ashthorn", "A-1")]),
        crs=books.PLANE,
    )
    known = [{"name": "Old ground", "climate": {"bio06": -11.0, "bio12": 299.0}}]
    columns = collect(books, [books.site("A-1")], read_zones({}, zones), known_populations=known)
    assert np.isnan(columns["elevation_m"]).all()
    assert np.isnan(columns["population_elevation_m"]).all()


@pytest.mark.parametrize(("own", "expected"), [(["bio01"], ["bio01"]), (None, ["bio05", "bio06", "bio12"])])
def test_the_profile_s_variables_win_over_the_season_s(books, own, expected):
    profile = books.agent(climate={"variables": own} if own else {})
    assert climate_variables(profile, books.season(profile)) == expected


def test_terrain_comes_from_the_zones_and_what_is_stated_from_profile_and_season(books):
    zones = zone_table(PATCHES)
    zones.mean["slope_deg"] = [10.0, 20.0]
    zones.mean["aspect_deg"] = [180.0, np.nan]
    zones.valid_share["slope"] = [1.0, 0.4]
    columns = collect(
        books, [books.site("A-2"), books.site("A-1")], zones, terrain={"preferred_aspect_deg": 190.0}
    )
    np.testing.assert_array_equal(columns["slope_deg"], [20.0, 10.0])
    np.testing.assert_array_equal(columns["aspect_deg"], [np.nan, 180.0])
    np.testing.assert_array_equal(columns["slope_valid_share"], [0.4, 1.0])
    np.testing.assert_array_equal(columns["preferred_aspect_deg"], [190.0, 190.0])
    np.testing.assert_array_equal(columns["heat_load_equation"], [3.0, 3.0])
    np.testing.assert_array_equal(columns["surroundings_m"], [500.0, 500.0])
    # What nobody asked for is missing.
    assert np.isnan([columns["heat_load"], columns["heat_load_valid_share"], columns["steep_share"]]).all()


def test_without_a_preference_there_is_none(books):
    columns = collect(books, [books.site("A-1")], zone_table(PATCHES))
    assert np.isnan(columns["preferred_aspect_deg"]).tolist() == [True]
