import pytest

from geo_scout.layers.inspect.kinds_guessed import guess_layer
from geo_scout.layers.inspect.unit_guesses import guess_units

# Ten acres in square metres: 10 x 43,560 square feet x 0.3048^2, both factors exact by definition.
TEN_ACRES_M2 = 10 * 43_560 * 0.3048**2


def units(table, columns, **more):
    host = {"weed": ["ashthorn"] * len(next(iter(columns.values())))}
    found = table("weeds.shp", host | columns, **({"shapes": "polygons"} | more))
    return {guess.key: guess for guess in guess_units(guess_layer("infestations", found))}


@pytest.mark.parametrize(
    ("name", "cells", "unit"),
    [
        ("CANOPY_PCT", ["5", "3", "2"], "percent"),
        ("cover", ["5", "30", "90"], "percent"),
        ("cover", ["5%", "3%"], "percent"),
        ("cover", ["0.05", "0.4", "0.9"], "share"),
        ("COVER_CLASS", ["1", "3", "6"], "?"),
        ("cover", ["1", "3", "6"], "?"),
        ("cover", ["0", "1", "1"], "?"),
        ("cover", ["+", "r", "3"], "?"),
        ("cover", ["low", "medium", "high"], "?"),
        # A percentage of at most one may be a share whose column was misnamed.
        ("COVER_PCT", ["0.1", "0.5", "0.9"], "?"),
    ],
)
def test_the_unit_of_cover(table, name, cells, unit):
    guess = units(table, {name: cells})["units.cover"]
    assert guess.value == unit
    assert guess.is_needed is (unit == "?")
    assert bool(guess.question) is (unit == "?")


def test_a_scheme_in_the_name_counts_only_for_labels_that_are_no_numbers(table):
    assert (
        units(table, {"cover_braun_blanquet": ["+", "r", "+", "3"]})["units.cover"].value
        == "class:braun-blanquet"
    )


@pytest.mark.parametrize(
    ("name", "unit"),
    [("ACRES", "acre"), ("area_ha", "ha"), ("GROSS_AC", "acre"), ("SQFT", "ft2"), ("area_m2", "m2"), ("Area sq km", None)],
)  # fmt: skip
def test_the_unit_of_area_by_name(table, name, unit):
    guessed = units(table, {name: ["1.5", "2.5"]}, shapes="points", points=2)
    if unit is None:
        return
    assert (guessed["units.area"].value, guessed["units.area"].question) == (unit, "")


def test_measured_polygons_tell_the_unit_that_no_name_does(table):
    columns = {"area": ["10", "10", "10"]}
    guess = units(table, columns, area_m2=(TEN_ACRES_M2,) * 3)["units.area"]
    assert (guess.value, guess.evidence) == ("acre", "3 measured polygons agree with acres")


def test_a_name_that_contradicts_the_measured_polygons_is_asked_about(table):
    guess = units(table, {"hectares": ["10", "10", "10"]}, area_m2=(TEN_ACRES_M2,) * 3)["units.area"]
    assert guess.value == "?"
    assert guess.question == (
        "In which unit is 'hectares'? Its name says hectares, but 3 measured polygons agree with acres say "
        "acres."
    )


def test_the_area_of_polygons_alone_needs_no_unit(table):
    assert "units.area" not in units(table, {"area": ["1", "2", "3"]})


def test_points_with_an_area_of_no_unit_are_asked_about(table):
    guess = units(table, {"area": ["1", "2"]}, shapes="points", points=2)["units.area"]
    assert (guess.value, guess.is_needed) == ("?", True)


def test_infested_acres_are_asked_about_because_cover_would_count_twice(table):
    guess = units(table, {"infested_acres": ["1", "2"]}, shapes="points", points=2)["units.area"]
    assert guess.value == "acre"
    assert "count the cover twice" in guess.question


def test_points_without_an_area_are_counted(table):
    without = units(table, {"id": ["a", "b"]}, shapes="points", points=2)["point_area_ha"]
    assert (without.value, without.is_needed) == (None, True)
    assert "No column was taken for the area of the 2 points;" in without.question
    one = units(table, {"area_ha": ["1", ""]}, shapes="points", points=2)["point_area_ha"]
    assert ("1 of 2 points state none" in one.question, one.is_needed) == (True, False)
    assert "point_area_ha" not in units(table, {"area_ha": ["1", "2"]}, shapes="points", points=2)
