import pandas as pd

from geo_scout.layers.weather import daily_or_normals, dated_catches
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.weather import DailyWeather, StationNormals
from tests.reading_seasons import AS_OF


def test_a_table_with_dates_is_daily_and_one_with_months_is_normals(written, tmp_path):
    path = tmp_path / "table.csv"
    table = written(("Date", "tmin", "tmax"), [("2026-03-01", 1, 5)])
    assert isinstance(daily_or_normals(table, path, AS_OF)[0], DailyWeather)
    table = written(("MONTH", "tmin", "tmax"), [(month, 1, 5) for month in range(1, 13)])
    assert isinstance(daily_or_normals(table, path, AS_OF)[0], StationNormals)
    table = written(("m", "tmin", "tmax"), [(month, 1, 5) for month in range(1, 13)], columns={"month": "m"})
    assert isinstance(daily_or_normals(table, path, AS_OF)[0], StationNormals)


def test_a_daily_table_may_have_a_month_too(written, tmp_path):
    table = written(("date", "month", "tmin", "tmax"), [("2026-03-01", 3, 1, 5)])
    assert isinstance(daily_or_normals(table, tmp_path / "table.csv", AS_OF)[0], DailyWeather)


def test_a_missing_file_is_a_finding(tmp_path, said):
    read, noticed = daily_or_normals(LayerTable(path="gone.csv"), tmp_path / "gone.csv", AS_OF)
    assert read is None
    assert said(noticed, "file-missing").startswith("stop")


def test_catches_keep_their_zeros_and_the_stations_they_name(written, tmp_path, codes):
    table = written(("station", "date", "count"), [("Ford", "2026-06-01", 0), ("", "2026-06-08", 12)])
    seen, noticed = dated_catches(table, tmp_path / "table.csv")
    assert seen["station"].tolist() == ["Ford", ""]
    assert seen["count"].tolist() == [0.0, 12.0]
    assert seen["date"].tolist() == [pd.Timestamp("2026-06-01"), pd.Timestamp("2026-06-08")]
    assert codes(noticed) == []


def test_a_catch_without_a_count_or_a_date_cannot_be_used(written, tmp_path, said):
    table = written(("date", "count"), [("2026-06-01", ""), ("2026-06-08", -3), ("2026-06-09", 2)])
    seen, noticed = dated_catches(table, tmp_path / "table.csv")
    assert seen.empty
    assert said(noticed, "blank-value") == (
        "stop: count is blank or negative: 2 rows of 3 (row 2, row 3). | Write the number caught; 0 where none was."
    )
