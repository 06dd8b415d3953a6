"""Decisive columns under other names: found by what the names mean, or asked about; never dropped in silence."""

import pytest

from geo_scout.layers.inspect.kinds_guessed import guess_layer
from geo_scout.layers.inspect.vector_settings import with_settings

BARE = {"shapes": "no shapes", "crs": "", "bounds": None}
PLACES = {"weed": ["ashthorn"] * 3, "lat": ["47.1", "47.2", "47.3"], "lon": ["-109.5", "-109.6", "-109.7"]}


def drafted(table, columns, name="sites.csv", **more):
    found = table(name, PLACES | columns, **(BARE | more))
    layer = with_settings(guess_layer("infestations", found), ["EPSG:4326"], (-109.6, 47.2))
    return (
        {guess.ours: guess.theirs for guess in layer.columns},
        {setting.key: setting for setting in layer.settings},
    )


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("Size (acres)", "acre"), ("Acres (GIS)", "acre"), ("size_ac", "acre"), ("GIS_ACRES", "acre"),
        ("Size (ha)", "ha"), ("SizeHa", "ha"), ("area [m²]", "m2"), ("Patch size, sq ft", "ft2"),
    ],
)  # fmt: skip
def test_an_area_with_its_unit_in_the_name(table, name, unit):
    columns, settings = drafted(table, {name: ["1.5", "2.5", "0.3"]})
    assert columns["area"] == name
    assert settings["units.area"].value == unit
    assert "point_area_ha" not in settings


@pytest.mark.parametrize("name", ["%Cover", "Cover %", "Cover (%)", "pct.cover", "COV_PCT", "CoverPct"])
def test_a_cover_with_percent_in_the_name(table, name):
    # Five is within the classes of every scheme, so the name has to tell.
    columns, settings = drafted(table, {name: ["5", "3", "2"]})
    assert (columns["cover"], settings["units.cover"].value) == (name, "percent")


def test_a_list_as_people_keep_it_is_matched_whole(table):
    columns, _ = drafted(
        table,
        {
            "Ref": ["P1", "P2", "P3"],
            "Size (acres)": ["1,5", "2,5", "0,3"],
            "Date seen": ["22.03.2026", "04.02.2026", "01.01.2026"],
            "Tenant": ["Lowe", "Council", "Lowe"],
        },
    )
    assert (
        columns | {"id": "Ref", "area": "Size (acres)", "survey_date": "Date seen", "manager": "Tenant"}
        == columns
    )


def test_an_area_under_a_name_that_says_nothing_is_asked_about_and_never_denied(table):
    _, settings = drafted(table, {"Q7": ["1.5", "250", "0.3"]})
    offered = settings["columns.area"]
    assert (offered.value, offered.is_offered, offered.is_needed) == ("Q7", True, False)
    assert offered.question.startswith(
        "Is 'Q7' the area of each infestation? Its cells are numbers from 0.3 to 250;"
    )
    assert offered.more == (("units.area", "?"),)
    question = settings["point_area_ha"].question
    assert "though 'Q7' may hold it" in question
    assert "state none" not in question


def test_a_table_without_any_number_offers_no_area(table):
    _, settings = drafted(table, {"Soil": ["loam", "clay", "loam"]})
    assert "columns.area" not in settings
    assert "No column was taken for the area of the 3 points;" in settings["point_area_ha"].question


def test_several_columns_that_could_be_it_are_asked_about_together(table):
    _, settings = drafted(table, {"Q7": ["1.5", "250", "0.3"], "Q8": ["140", "150", "160"]})
    offered = settings["columns.area"]
    assert offered.value == "?"
    assert offered.question.startswith("Does 'Q7' or 'Q8' hold the area of each infestation?")


def test_a_density_in_words_may_be_the_cover(table):
    _, settings = drafted(table, {"density": ["trace", "moderate", "dense"]})
    offered = settings["columns.cover"]
    assert (offered.value, offered.more) == ("density", (("units.cover", "?"),))
    assert "columns.id" not in settings


def test_dates_under_an_odd_name_bring_their_format(table):
    _, settings = drafted(table, {"Zz": ["22.03.2026", "04.02.2026", "01.01.2026"]})
    offered = settings["columns.survey_date"]
    assert (offered.value, offered.more) == ("Zz", (("date_format", "%d.%m.%Y"),))


def test_names_and_codes_under_odd_names_are_asked_about(table):
    _, settings = drafted(table, {"Who": ["Lowe", "Council", "Lowe"], "Kk": ["X-1", "X-2", "X-3"]})
    assert settings["columns.manager"].value == "Who"
    assert settings["columns.id"].value == "Kk"


def test_what_programs_write_and_sentences_are_not_asked_about(table):
    columns = {
        "drawOrder": ["1", "2", "3"],
        "Comments": ["by the ford", "by the ford", "new"],
        "Elevation (m)": ["900", "910", "920"],
    }
    _, settings = drafted(table, columns)
    assert not [key for key, one in settings.items() if one.is_offered]


def test_the_area_of_polygons_is_measured_and_not_asked_for(table):
    _, settings = drafted(table, {"Q7": ["150", "250", "300"]}, shapes="polygons", crs="EPSG:4326")
    assert "columns.area" not in settings


def test_a_number_is_never_an_observer(table):
    visits = {
        "visit": ["a", "b"], "agent": ["weevil"] * 2, "result": ["yes", "no"],
        "date": ["2025-07-01"] * 2, "Visited": ["45870", "45871"],
    }  # fmt: skip
    columns = {guess.ours: guess.theirs for guess in guess_layer("visits", table("v.gpkg", visits)).columns}
    assert "observer" not in columns


def test_a_blank_id_of_a_map_program_goes_behind_the_name_of_the_point(table):
    visits = {
        "id": ["", ""], "Name": ["VIS0", "VIS1"], "description": ["", ""], "agent": ["midge"] * 2,
        "date": ["2026-02-10", "2026-02-11"], "found": ["yes", "no"],
    }  # fmt: skip
    columns = {
        guess.ours: guess.theirs for guess in guess_layer("visits", table("visits.kml", visits)).columns
    }
    assert columns["visit_id"] == "Name"
