"""Climate of zones from the normals of stations, by hand."""

from dataclasses import replace

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely
from scipy.sparse import csr_array

from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.weather import StationNormals
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.stations import with_station_climate
from tests.sites_frames import PLANE

SEASON = -np.cos(2 * np.pi * np.arange(12) / 12)
MONTHS = range(1, 13)


def stations(**places):
    """Return stations with a mean of 4 degC and a swing of 12, a range of 10, and 30 mm a month."""
    rows = [*places.values()] or [(-110.0, 47.0, 900.0), (-109.0, 47.0, 1500.0)]
    names = [*places] or ["Ford", "Bench"]
    frame = pd.DataFrame(rows, index=names, columns=["longitude_deg", "latitude_deg", "elevation_m"])
    mean = np.tile(4.0 + 12.0 * SEASON, (len(names), 1))
    low, high, rain = (
        pd.DataFrame(values, index=names, columns=MONTHS) for values in (mean - 5, mean + 5, 0 * mean + 30)
    )
    return StationNormals(frame, low, high, rain, "1991-2020")


def places(*elevation_m, stated=None):
    """Return zones at 110, 109.1 ... degrees west, and what their elevation raster says."""
    count = len(elevation_m)
    index = pd.MultiIndex.from_tuples([("patch", "ashthorn", f"A{number}") for number in range(count)])
    east = -110.0 + 0.9 * np.arange(count)
    points = gpd.GeoSeries(shapely.points(east, np.full(count, 47.0)), crs=4326).to_crs(PLANE)
    zones = gpd.GeoDataFrame(geometry=points.to_numpy(), index=index, crs=PLANE)
    if stated is not None:
        zones["stated_elevation_m"] = stated
    mean = pd.DataFrame({"elevation_m": elevation_m}, index=index)
    return zones, ZoneTable(mean, pd.DataFrame(index=index), pd.DataFrame(), csr_array((count, 0)))


def test_the_months_and_variables_of_the_nearest_station_at_the_zones_elevation():
    """A0 lies 500 m above Ford: 1.5 degC off tmin, 3.25 off tmax; A1 lies 7 km from Bench, as high."""
    zones, table = places(1400.0, 1500.0)
    found = with_station_climate(table, zones, stations(), ClimateTable())
    assert found.mean["bio06"].tolist() == pytest.approx([4 - 12 - 5 - 1.5, 4 - 12 - 5])
    assert found.mean["bio05"].tolist() == pytest.approx([4 + 12 + 5 - 3.25, 4 + 12 + 5])
    assert found.mean["bio12"].tolist() == pytest.approx([360.0, 360.0])
    assert found.monthly["tmin_01_degc"].tolist() == pytest.approx([-14.5, -13.0])
    assert found.cell_monthly["tmax_07_degc"].tolist() == pytest.approx([21.0, 21.0])
    assert found.correction["climate_tmin_correction_degc"].tolist() == pytest.approx([-1.5, 0.0])
    assert found.correction["climate_tmax_correction_degc"].tolist() == pytest.approx([-3.25, 0.0])
    assert found.correction["climate_note"].tolist() == [
        "normals of the station Ford, 0 km away; corrected by more than 3 degC",
        "normals of the station Bench, 8 km away",
    ]
    assert found.stations_basis == (
        "normals of the nearest station (1991-2020, tmin 3 and tmax 6.5 degC colder per km up)"
    )


def test_all_variables_are_those_of_the_formula():
    zones, table = places(900.0)
    normals = stations()
    found = with_station_climate(table, zones, normals, ClimateTable())
    months = (normals.tmin_degc, normals.tmax_degc, normals.precipitation_mm)
    expected = bioclim(*(one.to_numpy().T[:, :1] for one in months))
    assert {name: found.mean[name].iloc[0] for name in expected} == pytest.approx(
        {name: float(value[0]) for name, value in expected.items()}
    )


def test_the_reference_are_the_stations_nearest_to_the_zones_asked_about():
    far = stations(Ford=(-110.0, 47.0, 900.0), Bench=(-109.0, 47.0, 1500.0), Far=(-90.0, 40.0, 200.0))
    far.tmin_degc.loc["Bench"] -= 2.0
    zones, table = places(1400.0, 1500.0)
    found = with_station_climate(table, zones, far, ClimateTable())
    assert found.cells_touched(np.array([0, 1]))["bio06"].tolist() == pytest.approx([-13.0, -15.0])
    assert found.cells_touched(np.array([1]))["bio06"].tolist() == pytest.approx([-15.0])


def test_a_stated_elevation_goes_before_the_raster_and_rates_are_the_seasons():
    zones, table = places(1400.0, 1500.0, stated=[1900.0, np.nan])
    rates = ClimateTable(tmin_degc_per_km=4.0, tmax_degc_per_km=0.0)
    found = with_station_climate(table, zones, stations(), rates)
    assert found.correction["climate_tmin_correction_degc"].tolist() == pytest.approx([-4.0, 0.0])
    assert found.correction["climate_tmax_correction_degc"].tolist() == pytest.approx([0.0, 0.0])


def test_without_an_elevation_the_stations_temperatures_stand_and_that_is_said():
    zones, table = places(np.nan)
    found = with_station_climate(table, zones, stations(), ClimateTable())
    assert found.mean["bio06"].iloc[0] == pytest.approx(-13.0)
    assert found.correction["climate_note"].iloc[0] == (
        "normals of the station Ford, 0 km away; not brought to the site's elevation: an elevation is missing"
    )
    assert np.isnan(found.correction["climate_tmin_correction_degc"].iloc[0])
    assert found.stations_basis == "normals of the nearest station (1991-2020)"


def test_without_rain_the_temperatures_still_count():
    zones, table = places(900.0)
    dry = stations()
    dry.precipitation_mm[:] = np.nan
    found = with_station_climate(table, zones, dry, ClimateTable())
    assert found.mean["bio06"].iloc[0] == pytest.approx(-13.0)
    assert np.isnan(found.mean["bio12"].iloc[0])


def test_rasters_go_before_stations():
    zones, table = places(900.0, 900.0)
    months = replace(table, monthly=pd.DataFrame({"tmin_01_degc": [1.0, 2.0]}, index=zones.index))
    assert with_station_climate(months, zones, stations(), ClimateTable()) is months
    ready = replace(table, mean=table.mean.assign(bio06=[1.0, 2.0]))
    found = with_station_climate(ready, zones, stations(), ClimateTable())
    assert found.mean is ready.mean
    assert found.monthly["tmin_01_degc"].tolist() == pytest.approx([-13.0, -11.2])
    assert found.correction.empty


def test_no_stations_or_no_zones():
    zones, table = places(900.0)
    assert with_station_climate(table, zones, None, ClimateTable()) is table
    assert with_station_climate(table, zones.iloc[:0], stations(), ClimateTable()) is table
