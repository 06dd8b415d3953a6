from geo_scout.layers.inspect.kinds_guessed import guess_layer
from geo_scout.layers.inspect.system_guesses import fitting_systems
from geo_scout.layers.inspect.vector_settings import with_settings

BARE = {"shapes": "no shapes", "crs": "", "bounds": None}
VISITS = {
    "visit_id": ["a", "b"], "agent": ["weevil", "weevil"], "date": ["2024-05-06", "2024-05-07"],
    "result": ["yes", "no"],
}  # fmt: skip


def settings(kind, found, middle_deg=(-109.5, 47.1), systems=("EPSG:32612",)):
    layer = with_settings(guess_layer(kind, found), systems, middle_deg)
    return {setting.key: setting for setting in layer.settings}


def test_a_layer_that_says_everything_leaves_nothing_open(table):
    assert settings("visits", table("v.gpkg", VISITS)) == {}


def test_a_missing_reference_system_is_asked_with_those_that_would_fit(table):
    # The bounds of the working valley in UTM zone 12 north.
    box = (606_000.0, 5_210_000.0, 616_000.0, 5_225_000.0)
    guess = settings("visits", table("v.shp", VISITS, crs="", bounds=box))["crs"]
    assert (guess.value, guess.is_needed) == ("?", True)
    assert guess.choices == ("EPSG:32612 (would lie beside the other layers)",)


def test_numbers_that_look_like_degrees_are_asked_about_all_the_same(table):
    guess = settings("visits", table("v.shp", VISITS, crs="", bounds=(-109.6, 47.0, -109.4, 47.2)))["crs"]
    assert guess.value == "?"
    assert "They look like degrees." in guess.question
    assert guess.choices == ("EPSG:4326 (would lie beside the other layers)",)


def test_systems_far_from_the_other_layers_do_not_fit():
    box = (606_000.0, 5_210_000.0, 616_000.0, 5_225_000.0)
    assert fitting_systems(box, ["EPSG:32612", "EPSG:32613", "EPSG:4326", "nonsense"], (-109.5, 47.1)) == [
        "EPSG:32612"
    ]
    assert fitting_systems(box, ["EPSG:32612"], None) == []


def test_columns_of_degrees_are_guessed_to_be_wgs84_and_asked_about(table):
    found = table("v.csv", VISITS | {"lat": ["47.1", "47.2"], "lon": ["-109.5", "-109.6"]}, **BARE)
    guess = settings("visits", found)["crs"]
    assert (guess.value, guess.is_needed) == ("EPSG:4326", False)
    assert "WGS 84" in guess.question


def test_columns_with_our_names_need_no_system(table):
    here = {"latitude_deg": ["47.1", "47.2"], "longitude_deg": ["-109.5", "-109.6"]}
    assert "crs" not in settings("visits", table("v.csv", VISITS | here, **BARE))


def test_a_datum_that_every_row_states_needs_no_question(table):
    here = {"lat": ["47.1", "47.2"], "lon": ["-109.5", "-109.6"]}
    for written, code in (("WGS84", "EPSG:4326"), ("EPSG:4326", "EPSG:4326"), ("NAD 27", "EPSG:4267")):
        found = table("v.csv", VISITS | here | {"geodeticDatum": [written] * 2}, **BARE)
        guess = settings("visits", found)["crs"]
        assert (guess.value, guess.question) == (code, "")
    for unclear in (["WGS84", "NAD27"], ["not recorded"] * 2):
        guess = settings("visits", table("v.csv", VISITS | here | {"geodeticDatum": unclear}, **BARE))["crs"]
        assert "WGS 84" in guess.question


def test_columns_of_metres_without_a_zone_need_one(table):
    here = {"easting": ["606123.5", "607123"], "northing": ["5216123", "5217123"]}
    guess = settings("visits", table("v.csv", VISITS | here, **BARE))["crs"]
    assert (guess.value, guess.choices) == ("?", ("EPSG:32612 (would lie beside the other layers)",))


def test_a_table_without_a_position_is_asked_for_one(table):
    asked = settings("visits", table("v.csv", VISITS, **BARE))
    assert [(key, asked[key].value, asked[key].is_needed) for key in asked] == [
        ("columns.longitude_deg", "?", True),
        ("columns.latitude_deg", "?", True),
    ]


def test_visits_that_name_their_release_need_no_position(table):
    assert settings("visits", table("v.csv", VISITS | {"release_id": ["R1", "R2"]}, **BARE)) == {}


def test_a_missing_needed_column_is_asked_with_the_columns_that_are_free(table):
    found = table(
        "v.gpkg",
        {"visit_id": ["a", "b"], "date": ["2024-05-06"] * 2, "found": ["yes", "no"], "K": ["1", "2"]},
    )
    asked = settings("visits", found)
    assert list(asked) == ["columns.agent"]
    assert (asked["columns.agent"].value, asked["columns.agent"].choices) == ("?", ("K",))


def test_day_and_month_that_cannot_be_told_apart_are_asked(table):
    found = table("v.gpkg", VISITS | {"date": ["03/04/2024", "05/06/2024"]})
    guess = settings("visits", found)["date_format"]
    assert (guess.value, guess.choices) == ("?", ("%d/%m/%Y (day first)", "%m/%d/%Y (month first)"))


def test_a_telling_date_answers_by_itself(table):
    found = table("v.gpkg", VISITS | {"date": ["03/04/2024", "05/27/2024"]})
    guess = settings("visits", found)["date_format"]
    assert (guess.value, guess.question, guess.evidence) == (
        "%m/%d/%Y",
        "",
        "'05/27/2024' can only be read so",
    )


def test_two_columns_decide_together(table):
    columns = {
        "id": ["a", "b"],
        "kind": ["mowing", "mowing"],
        "start": ["03/04/2024"] * 2,
        "end": ["27/04/2024"] * 2,
    }
    guess = settings("treatments", table("t.shp", columns, shapes="polygons"))["date_format"]
    assert guess.value == "%d/%m/%Y"


def test_columns_that_write_dates_differently_are_asked_about(table):
    columns = {
        "id": ["a", "b"],
        "kind": ["mowing", "mowing"],
        "start": ["2024-04-03"] * 2,
        "end": ["27.04.2024"] * 2,
    }
    guess = settings("treatments", table("t.shp", columns, shapes="polygons"))["date_format"]
    assert (guess.value, guess.choices) == ("?", ("%Y-%m-%d", "%d.%m.%Y"))


def test_words_beyond_the_known_ones_are_sorted_and_the_rest_is_asked(table):
    found = table("v.gpkg", VISITS | {"result": ["Seen", "none seen"]})
    guess = settings("visits", found)
    assert (guess["yes"].value, guess["no"].value, guess["yes"].is_needed) == (["seen"], ["none seen"], False)
    found = table(
        "v.gpkg",
        {key: cells * 2 for key, cells in VISITS.items()}
        | {"visit_id": list("abcd"), "result": ["seen", "few", "none", "seen"]},
    )
    guess = settings("visits", found)
    assert guess["yes"].is_needed
    assert '"few"' in guess["yes"].question


def test_lines_need_a_width(table):
    found = table("w.shp", {"weed": ["ashthorn", "ashthorn"], "cover": ["5", "50"]}, shapes="lines")
    guess = settings("infestations", found)["line_width_m"]
    assert (guess.value, guess.is_needed) == (None, True)


def test_letters_of_an_unknown_table_are_shown_to_the_user(table):
    found = table(
        "v.csv", VISITS | {"observer": ["Öst", "x"]}, remarks=("'v.csv' is not UTF-8 (byte 12); ...",), **BARE
    )
    guess = settings("visits", found)["encoding"]
    assert (guess.value, "'Öst'" in guess.question) == ("cp1252", True)


def test_day_numbers_of_a_spreadsheet_are_drafted_with_the_day_they_mean(table):
    # 1 January 2023 is day 44,927 of a spreadsheet.
    guess = settings("visits", table("v.gpkg", VISITS | {"date": ["44927", "44928"]}))["date_format"]
    assert (guess.value, guess.question, guess.evidence) == (
        "spreadsheet day",
        "",
        "day numbers of a spreadsheet, '44927' for 2023-01-01",
    )


def test_longitudes_and_latitudes_in_each_others_columns_are_exchanged_and_asked_about(table):
    here = {"lat": ["-109.5", "-109.6"], "long": ["47.1", "47.2"]}
    guess = settings("visits", table("v.csv", VISITS | here, **BARE))["columns.longitude_deg"]
    assert (guess.value, guess.more) == ("lat", (("columns.latitude_deg", "long"),))
    assert guess.question == (
        "The longitudes could be latitudes: are the two columns 'lat' and 'long' exchanged? They were taken so, "
        "for 'lat' means a latitude, but its cells, such as '-109.5', are none."
    )


def test_positions_that_can_be_right_as_they_are_named_are_not_exchanged(table):
    here = {"lat": ["47.1", "47.2"], "long": ["9.5", "9.6"]}
    found = table("v.csv", VISITS | here, **BARE)
    columns = {guess.ours: guess.theirs for guess in guess_layer("visits", found).columns}
    assert (columns["longitude_deg"], columns["latitude_deg"]) == ("long", "lat")


def test_a_latitude_that_was_not_taken_is_quoted_and_the_system_asked_with_it(table):
    here = {"Latitude": ["40°17'75.00\"N", "40°18'10.00\"N"], "Longitude": ["105°17'W", "105°18'W"]}
    asked = settings("visits", table("v.csv", VISITS | here, **BARE))
    question = asked["columns.latitude_deg"].question
    assert "'Latitude' was not taken, for '40°17'75.00\"N' has 75 seconds" in question
    assert asked["columns.latitude_deg"].choices == ("Latitude", "Longitude")
    assert (asked["crs"].value, asked["crs"].is_needed) == ("EPSG:4326", False)


def test_counts_are_not_offered_for_an_id(table):
    cells = {
        "agent": ["stem weevil"] * 4,
        "date": ["2024-05-06"] * 4,
        "put_out": ["200", "150", "200", "150"],
    }
    guess = settings("releases", table("releases.shp", cells))["columns.release_id"]
    assert (guess.value, guess.choices) == ("?", ())
    assert "add a column release_id to the table" in guess.question
    coded = settings("releases", table("releases.shp", cells | {"plate": ["K1", "K2", "K3", "K4"]}))
    assert coded["columns.release_id"].choices == ("plate",)
