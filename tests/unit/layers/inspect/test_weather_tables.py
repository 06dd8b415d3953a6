import pytest

from geo_scout.layers.inspect.kinds_guessed import assign_kinds, guess_layer
from geo_scout.layers.inspect.vector_settings import with_settings

BARE = {"shapes": "no shapes", "crs": "", "bounds": None}
DAYS = {"DATE": ["2024-05-06", "2024-05-07"], "TMIN": ["2.1", "3.4"], "TMAX": ["17.9", "20.0"]}
MONTHS = {"Month": [str(month) for month in range(1, 13)], "Low": ["-3.5"] * 12, "High": ["14.5"] * 12}
YEARS = {
    "Population": ["Old ground"] * 24,
    "YEAR": ["2001"] * 12 + ["2002"] * 12,
    "MONTH": [str(month) for month in range(1, 13)] * 2,
    "tmin_c": ["-3.5"] * 24,
    "tmax_c": ["14.5"] * 24,
    "prcp_mm": ["40"] * 24,
}


def kinds(*found):
    return {layer.kind: layer.path.name for layer in assign_kinds(found).layers}


def settings(kind, found):
    layer = with_settings(guess_layer(kind, found), ("EPSG:32612",), (-109.5, 47.1))
    return {setting.key: setting for setting in layer.settings}


def test_days_months_and_years_are_told_apart_by_their_columns(table):
    found = [
        table("a.csv", DAYS, **BARE),
        table("b.csv", MONTHS, **BARE),
        table("c.csv", YEARS, **BARE),
    ]
    assert (
        kinds(*found)
        == kinds(*reversed(found))
        == {
            "weather": "a.csv",
            "station_normals": "b.csv",
            "yearly_climate": "c.csv",
        }
    )


def test_years_with_ready_variables_need_no_months(table):
    rows = {
        "Population": ["Old ground"] * 2,
        "Year": ["2001", "2002"],
        "BIO5": ["27.5", "28"],
        "bio_12": ["400", "380"],
    }
    found = table("history.csv", rows, **BARE)
    assert kinds(found) == {"yearly_climate": "history.csv"}
    layer = guess_layer("yearly_climate", found)
    assert [guess.theirs for guess in layer.columns] == ["Population", "Year", "BIO5", "bio_12"]
    assert not any(one.is_needed for one in settings("yearly_climate", found).values())


def test_the_columns_are_found_whatever_they_are_called(table):
    rows = {"Weather Station": ["Ford", "Ford"], "Elev": ["1000", "1000"], "Lat": ["47.11", "47.11"]}
    rows |= {"Long": ["-109.52", "-109.52"], "Observation Date": ["2024-05-06", "2024-05-07"]}
    rows |= {"Min Temp (F)": ["31", "40"], "Max Temp (F)": ["60", "71"], "Rain (in)": ["0", "M"]}
    layer = guess_layer("weather", table("ford.csv", rows, **BARE))
    assert {guess.ours: guess.theirs for guess in layer.columns} == {
        "station": "Weather Station", "longitude_deg": "Long", "latitude_deg": "Lat", "elevation_m": "Elev",
        "date": "Observation Date", "tmin": "Min Temp (F)", "tmax": "Max Temp (F)", "precipitation": "Rain (in)",
    }  # fmt: skip
    found = settings("weather", table("ford.csv", rows, **BARE))
    assert {key: (one.value, one.question) for key, one in found.items()} == {
        "units.temperature": ("degf", ""),
        "units.precipitation": ("inch", ""),
    }


def test_heights_in_feet_are_not_taken_for_metres(table):
    layer = guess_layer("weather", table("ford.csv", DAYS | {"ELEV_FT": ["3280", "3280"]}, **BARE))
    assert "elevation_m" not in {guess.ours for guess in layer.columns}


def test_a_month_is_a_whole_number_up_to_twelve(table):
    months = MONTHS | {"Month": [str(number) for number in range(2, 14)]}
    assert "month" not in {
        guess.ours for guess in guess_layer("station_normals", table("b.csv", months)).columns
    }
    found = kinds(table("normals.csv", months, **BARE))
    assert found == {"station_normals": "normals.csv"}
    asked = settings("station_normals", table("normals.csv", months, **BARE))
    assert asked["columns.month"].is_needed


@pytest.mark.parametrize(
    ("low", "high", "unit", "is_needed"),
    [
        ("-12.5", "31", "degc", False),
        ("-125", "310", "tenths of degc", False),
        ("9.5", "95", "?", True),
        ("261", "305", "?", True),
    ],
)
def test_temperatures_no_name_explains_are_asked_about(table, low, high, unit, is_needed):
    rows = DAYS | {"TMIN": [low, "-9999"], "TMAX": [high, "NA"]}
    guess = settings("weather", table("a.csv", rows, **BARE))["units.temperature"]
    assert (guess.value, guess.is_needed) == (unit, is_needed)
    assert guess.question.startswith("In which unit is 'TMIN' and 'TMAX'?")


def test_the_years_of_normals_are_read_from_the_name_or_asked(table):
    guess = settings("station_normals", table("normals 1991-2020.csv", MONTHS, **BARE))["period"]
    assert (guess.value, guess.question) == ("1991-2020", "")
    guess = settings("station_normals", table("normals.csv", MONTHS, **BARE))["period"]
    assert (guess.value, guess.is_needed) == (None, False)
    assert guess.question.startswith("Which years are these normals the mean of?")


def test_a_table_named_weather_without_its_temperatures_is_asked_for_them(table):
    rows = {"date": ["2024-05-06", "2024-05-07"], "value 1": ["2", "3"], "value 2": ["17", "20"]}
    found = table("weather.csv", rows, **BARE)
    assert kinds(found) == {"weather": "weather.csv"}
    asked = settings("weather", found)
    assert {key for key, one in asked.items() if one.is_needed} == {"columns.tmin", "columns.tmax"}
    assert asked["columns.tmin"].choices == ("value 1", "value 2")


def test_several_stations_need_a_place_each_and_one_does_not(table):
    several = DAYS | {"station": ["Ford", "Mill"]}
    asked = settings("weather", table("a.csv", several, **BARE))
    assert {key for key, one in asked.items() if one.is_needed} == {
        "columns.longitude_deg",
        "columns.latitude_deg",
    }
    assert not any(one.is_needed for one in settings("weather", table("a.csv", DAYS, **BARE)).values())


def test_days_written_by_month_or_by_day_are_asked_about(table):
    guess = settings("weather", table("a.csv", DAYS | {"DATE": ["05/06/2024", "05/07/2024"]}, **BARE))
    assert (guess["date_format"].value, guess["date_format"].is_needed) == ("?", True)


def test_tables_of_sites_are_not_taken_for_weather(table):
    releases = {
        "release id": ["a", "b"],
        "agent": ["weevil"] * 2,
        "qty": ["100", "200"],
        "date": ["2024-05-06"] * 2,
        "lat": ["47.1", "47.2"],
        "lon": ["-109.5", "-109.6"],
    }
    assert kinds(table("r.csv", releases, **BARE)) == {"releases": "r.csv"}
    catches = {"station": ["Ford"] * 2, "date": ["2024-05-06", "2024-05-07"], "count": ["0", "4"]}
    assert "weather" not in kinds(table("catches.csv", catches, **BARE))
