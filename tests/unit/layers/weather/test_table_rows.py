import datetime as dt

import numpy as np
import pytest

from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.layer_table import LayerTable

FIRST = dt.date(2025, 1, 1)


def test_columns_are_matched_by_the_season_and_by_our_names(daily):
    weather, _ = daily([("2026-03-01", 1, 5)], ("Day", "TMN", "TMAX"), columns={"date": "Day", "tmin": "TMN"})
    assert weather.days["tmax_degc"].tolist() == [5.0]


def test_a_missing_column_stops_and_names_those_there_are(daily, said):
    weather, noticed = daily([("2026-03-01", 1)], ("date", "tmin"))
    assert weather is None
    assert said(noticed, "column-missing").startswith("stop: no column holds tmax (highest temperature")


def test_dates_are_read_as_the_season_says(daily):
    weather, _ = daily([("03.04.2026", 1, 5)], date_format="%d.%m.%Y")
    assert str(weather.days["date"].iloc[0].date()) == "2026-04-03"


def test_some_unreadable_numbers_are_missing_and_many_stop(daily, said):
    rows = [(str(FIRST + dt.timedelta(days=n)), 1, 5) for n in range(200)]
    rows[4] = (rows[4][0], "cold", 5)
    weather, noticed = daily(rows)
    assert np.isnan(weather.days["tmin_degc"]).sum() == 1
    assert said(noticed, "value-unreadable") == (
        "caution: tmin is not a number in 1 row: 'cold'; taken as missing. | Write it like 12.5."
    )
    weather, noticed = daily([(day, "cold", 5) for day, *_ in rows])
    assert weather is None
    assert said(noticed, "value-unreadable") == (
        "stop: tmin is not a number in 200 rows: 'cold'. | Write it like 12.5."
    )


def test_decimal_commas_are_read(daily):
    weather, _ = daily([("2026-03-01", '"1,5"', '"5,25"')])
    assert weather.days[["tmin_degc", "tmax_degc"]].iloc[0].tolist() == [1.5, 5.25]


def test_rows_of_another_length_are_set_aside(daily, said):
    rows = [(str(FIRST + dt.timedelta(days=n)), 1, 5) for n in range(200)]
    rows[4] = (*rows[4], 7)
    weather, noticed = daily(rows)
    assert len(weather.days.dropna(subset=["tmin_degc"])) == 199
    assert said(noticed, "uneven-row").startswith(
        "caution: Set aside: row of another length: 1 row of 200 (row 6)."
    )


def test_an_empty_table_stops(daily, said):
    weather, noticed = daily([])
    assert weather is None
    assert said(noticed, "layer-empty") == "stop: 'table.csv' holds no row. | Give the file that has them."


def test_a_unit_that_does_not_exist_stops(daily, said):
    _, noticed = daily([("2026-03-01", 1, 5)], units={"temperature": "rankine"})
    assert said(noticed, "unit-unknown").startswith(
        "stop: units = {temperature = 'rankine'} is no unit of this layer."
    )


def test_a_file_that_is_not_there_is_a_finding(tmp_path, said):
    rows = read_table("weather", LayerTable(path="gone.csv"), tmp_path / "gone.csv")
    assert rows.is_stopped
    assert said(rows, "file-missing").startswith("stop: there is no file 'gone.csv'")


@pytest.mark.parametrize("skipped", [(), ("precipitation",)])
def test_columns_that_are_skipped_are_not_read(written, tmp_path, skipped):
    table = written(("date", "tmin", "tmax", "precipitation"), [("2026-03-01", 1, 5, 2)])
    rows = read_table("weather", table, tmp_path / "table.csv", skipped)
    assert ("precipitation" in rows.given) == (not skipped)
    assert np.isnan(rows.frame["precipitation_mm"]).all() == bool(skipped)
