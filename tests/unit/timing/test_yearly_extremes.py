"""The coldest and hottest day of a usual year, by hand and by pandas on a real station."""

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from geo_scout.layers.weather import daily_weather
from geo_scout.model.layer_table import LayerTable
from geo_scout.timing.places import at_stations
from geo_scout.timing.stations import record_of
from geo_scout.timing.yearly_extremes import extremes_of_record, yearly_extremes
from tests.reading_seasons import packaged
from tests.weather_frames import temperatures, weather


def cold_on_new_year(day):
    """Return 10 degC, but on 1 January as many degrees below zero as the year is past 2000."""
    return 2000.0 - day.year if (day.month, day.day) == (1, 1) else 10.0


def test_the_mean_of_the_yearly_lowest_and_highest_at_the_places_elevation():
    """Ten years from 2015: -15 to -24, mean -19.5; 200 m up at 3 and 6.5 degC per km: -20.1 and 8.7."""
    daily = weather({"Ford": cold_on_new_year}, "2015-01-01", "2024-12-31")
    found = yearly_extremes(temperatures(daily, elevation_m=(1000.0, 1200.0, np.nan)))
    assert found.min_degc.tolist() == pytest.approx([-19.5, -20.1, -19.5])
    assert found.max_degc.tolist() == pytest.approx([10.0, 8.7, 10.0])
    assert found.basis[1] == "mean of 10 years at Ford (1000 m, tmin 3 and tmax 6.5 degC colder per km up)"


def test_nine_years_and_broken_years_are_not_enough():
    nine = weather({"Ford": cold_on_new_year}, "2015-01-01", "2023-12-31")
    assert np.isnan(yearly_extremes(temperatures(nine)).min_degc).all()
    gap = tuple(f"2019-07-{day:02d}" for day in range(1, 12))
    broken = weather({"Ford": cold_on_new_year}, "2015-01-01", "2024-12-31", without=gap)
    assert extremes_of_record(record_of(broken, "Ford"))[2] == 9
    mended = weather({"Ford": cold_on_new_year}, "2015-01-01", "2024-12-31", without=gap[1:])
    assert extremes_of_record(record_of(mended, "Ford"))[2] == 10


def test_a_far_station_says_nothing():
    """A degree of longitude at 47 N is 76 km."""
    daily = weather({"Ford": cold_on_new_year}, "2015-01-01", "2024-12-31")
    known = temperatures(daily, elevation_m=(1000.0, 1000.0))
    known.longitude_deg[:] = [-110.6, -111.0]
    found = yearly_extremes(known)
    assert np.isnan(found.min_degc).tolist() == [False, True]
    assert found.basis[1] == ""


def test_without_daily_weather_nobody_knows():
    found = yearly_extremes(temperatures(normals_degc=5.0))
    assert np.isnan([found.min_degc, found.max_degc]).all()


def test_champion_against_pandas(tmp_path):
    path = packaged("aquacrop", "aquacrop/data/champion_climate.txt", "c480a22588457202")
    rows = np.genfromtxt(path, skip_header=1, encoding="utf-8")
    dates = pd.to_datetime(pd.DataFrame({"year": rows[:, 2], "month": rows[:, 1], "day": rows[:, 0]}))
    table = pd.DataFrame({"date": dates.dt.strftime("%Y-%m-%d"), "tmin": rows[:, 3], "tmax": rows[:, 4]})
    table.to_csv(tmp_path / "days.csv", index=False)
    champion, _ = daily_weather(
        LayerTable(path="days.csv"), tmp_path / "days.csv", dt.date(2018, 12, 31), 0.0, on_map=False
    )
    by_year = table.groupby(dates.dt.year)
    found = yearly_extremes(at_stations(champion))
    assert found.min_degc[0] == pytest.approx(by_year["tmin"].min().mean())
    assert found.max_degc[0] == pytest.approx(by_year["tmax"].max().mean())
    assert found.min_degc[0] < -20
    assert found.basis[0] == "mean of 37 years at the station"
