from dataclasses import replace

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
from scipy.sparse import csr_array

from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.layers import LayerSet
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.timing.site_places import at_patches
from tests.sites_frames import PLANE
from tests.weather_frames import normals, weather

BANDS = [f"{name}_{month:02d}_degc" for name in ("tmin", "tmax") for month in range(1, 13)]


def zones(monthly=True):
    """Return two patches of ashthorn between zones of others, with months of their own."""
    index = pd.MultiIndex.from_tuples(
        [
            ("patch", "other", "A"),
            ("patch", "ashthorn", "B"),
            ("known population", "x", "A"),
            ("patch", "ashthorn", "A"),
        ]
    )
    rows = np.arange(4.0)[:, None]
    table = (
        pd.DataFrame(rows * 100 + np.arange(24.0), index=index, columns=BANDS) if monthly else pd.DataFrame()
    )
    mean = pd.DataFrame({"elevation_m": [0.0, 1500.0, 0.0, 900.0]}, index=index)
    return ZoneTable(mean, pd.DataFrame(index=index), pd.DataFrame(), csr_array((4, 0)), table)


def sites():
    patches = gpd.GeoDataFrame(
        {"site_id": ["A", "B"], "longitude_deg": [-110.0, -111.0], "latitude_deg": [47.0, 48.0]},
        geometry=gpd.points_from_xy([0, 1], [0, 1]),
    )
    return Sites("ashthorn", patches, patches, pd.DataFrame(), pd.DataFrame())


def layers(**tables):
    return LayerSet(PLANE, {}, {}, **tables)


def test_each_patch_has_its_own_months_elevation_and_place():
    found = at_patches(sites(), zones(), layers(), ClimateTable())
    assert found.elevation_m.tolist() == [900.0, 1500.0]
    assert found.longitude_deg.tolist() == [-110.0, -111.0]
    assert found.tmin_degc[:, 0].tolist() == [300.0 + month for month in range(12)]
    assert found.tmax_degc[0].tolist() == [312.0, 112.0]
    assert found.normals_basis == "normals of the climate rasters (period not stated)"
    assert (found.spread_degc, found.station) == (None, None)


def test_the_period_and_the_lapse_rates_are_those_of_the_season():
    climate = ClimateTable(normals_period="1991-2020", tmin_degc_per_km=4.0, tmax_degc_per_km=7.0)
    found = at_patches(sites(), zones(), layers(), climate)
    assert found.normals_basis == "normals of the climate rasters (1991-2020)"
    assert (found.tmin_degc_per_km, found.tmax_degc_per_km) == (4.0, 7.0)


def test_months_of_stations_are_said_to_be():
    of_stations = replace(zones(), stations_basis="normals of the nearest station (1991-2020)")
    found = at_patches(sites(), of_stations, layers(station_normals=normals()), ClimateTable())
    assert found.tmin_degc[:, 0].tolist() == [300.0 + month for month in range(12)]
    assert found.normals_basis == "normals of the nearest station (1991-2020)"


def test_the_spread_is_the_stated_one_else_that_of_the_weather():
    daily = weather({"Ford": lambda day: 10.0 * (day.toordinal() % 2)}, "2025-01-01", "2025-12-31")
    stated = at_patches(sites(), zones(), layers(weather=daily), ClimateTable(daily_spread_degc=(3.0,)))
    assert stated.spread_degc.tolist() == [3.0] * 12
    assert stated.spread_basis == "as the season states it"
    own = at_patches(sites(), zones(), layers(weather=daily), ClimateTable())
    # April's 30 days at 0 and 10 degC in turn.
    assert own.spread_degc[3] == pytest.approx(5 * np.sqrt(30 / 29))
    assert own.spread_basis == "Ford, 2025"
    assert own.weather is daily


def test_nothing_is_known_without_rasters_and_stations():
    found = at_patches(sites(), zones(monthly=False), layers(), ClimateTable())
    assert np.isnan(found.tmin_degc).all()
    assert (found.normals_basis, found.weather) == ("", None)
