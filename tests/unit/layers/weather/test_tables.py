import numpy as np

MONTHS = [(month, 5, 15, 30) for month in range(1, 13)]


def test_a_season_reads_its_three_tables_and_names_their_files(folder):
    folder.write_table(
        "weather", [("date", "tmin", "tmax"), ("2026-03-01", "1", "5"), ("2026-12-01", "1", "5")]
    )
    folder.write_table(
        "station_normals", [("month", "tmin", "tmax", "precipitation"), *MONTHS], period="1991-2020"
    )
    folder.write_table(
        "yearly_climate",
        [
            ("place", "year", "month", "tmin", "tmax", "precipitation"),
            *(("Gorge", 2001, *row) for row in MONTHS),
        ],
    )
    layers = folder.read()
    assert layers.weather.days["tmin_degc"].tolist() == [1.0]
    assert layers.station_normals.period == "1991-2020"
    assert layers.yearly_climate.places() == ["Gorge"]
    assert {"weather.csv", "station_normals.csv", "yearly_climate.csv"} <= {one.name for one in layers.inputs}
    assert [one.code for one in layers.findings if one.layer == "weather"] == [
        "weather-future", "station-without-place", "station-without-elevation",
    ]  # fmt: skip


def test_a_table_that_cannot_be_used_is_none_and_a_finding(folder):
    folder.write_table("weather", [("date", "tmin"), ("2026-03-01", "1")])
    layers = folder.read()
    assert (layers.weather, layers.station_normals, layers.yearly_climate) == (None, None, None)
    [stop] = [one for one in layers.findings if one.grade == "stop"]
    assert (stop.code, stop.layer) == ("column-missing", "weather")


def test_the_season_fills_gaps_and_states_units(folder):
    rows = [("date", "tmin", "tmax"), ("2026-03-01", "32", "50"), ("2026-03-03", "50", "68")]
    folder.write_table("weather", rows, fill_gaps_days=1, units={"temperature": "degf"})
    assert np.allclose(folder.read().weather.days["tmin_degc"], [0.0, 5.0, 10.0])
