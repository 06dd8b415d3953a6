"""A table is water or places only where its name says that and nothing else."""

from dataclasses import replace

import pytest

from geo_scout.layers.inspect.kinds_guessed import assign_kinds, nearest_layer
from geo_scout.layers.inspect.map_synonyms import MAP_PHRASES
from geo_scout.layers.inspect.plain_names import is_plainly_called

NAMED = {"name": ["Orrin", "Tessock"]}


def kinds(*found):
    return [layer.kind for layer in assign_kinds(found).layers]


@pytest.mark.parametrize(
    "name",
    ["rivers.shp", "Streams_2024.gpkg", "NHDFlowline.shp", "NHDWaterbody.shp", "water bodies.shp",
     "gis_osm_waterways_free_1.shp", "lakes-and-ponds.geojson", "all_the_creeks.kml"],
)  # fmt: skip
def test_names_of_water(table, name):
    assert is_plainly_called(table(name, NAMED), MAP_PHRASES["water"])
    assert kinds(table(name, NAMED, shapes="lines")) == ["water"]
    assert kinds(table(name, NAMED, shapes="polygons")) == ["water"]


@pytest.mark.parametrize(
    "name", ["Snake River.shp", "Lake County.shp", "river fences.shp", "bridges.shp", "area.shp", "2024.shp",
             "watershed.shp", "waterleaf.shp"]
)  # fmt: skip
def test_names_that_say_more_or_less_than_water(table, name):
    assert not is_plainly_called(table(name, NAMED), MAP_PHRASES["water"])
    assert "water" not in kinds(table(name, NAMED, shapes="lines"))
    assert "water" not in kinds(table(name, NAMED, shapes="polygons"))


@pytest.mark.parametrize(
    "name", ["places.shp", "Towns.csv", "cities_and_villages.gpkg", "passes and peaks.kml"]
)
def test_names_of_places(table, name):
    assert kinds(table(name, NAMED)) == ["places"]


@pytest.mark.parametrize("name", ["release places.shp", "my towns sprayed.shp", "sites.shp", "names.shp"])
def test_points_with_a_name_are_not_places_for_that(table, name):
    assert kinds(table(name, NAMED)) == []


def test_the_layers_own_name_counts_before_that_of_its_file(table):
    assert kinds(table("land.gpkg", NAMED, layer="towns")) == ["places"]
    assert kinds(table("towns.gpkg", NAMED, layer="fences")) == []


def test_a_folder_of_that_name_says_nothing(table):
    one = table("a.shp", NAMED, shapes="lines")
    assert one.path.parent.name == "maps"
    moved = replace(one, path=one.path.parent.parent / "rivers" / "a.shp")
    assert kinds(moved) == []


@pytest.mark.parametrize(
    "columns",
    [{"WEED": ["ashthorn", "ashthorn"]}, {"cover_pct": ["5", "40"]}, {"agent": ["weevil", "weevil"]},
     {"treated_on": ["2024-05-06", "2024-05-06"]}],
)  # fmt: skip
def test_a_column_of_the_trade_speaks_against_water_and_places(table, columns):
    assert "water" not in kinds(table("rivers.shp", NAMED | columns, shapes="lines"))
    assert "places" not in kinds(table("towns.shp", NAMED | columns))


def test_places_need_a_column_of_names(table):
    assert kinds(table("towns.shp", {"depth": ["1.5", "2.5"]})) == []


def test_points_with_a_name_do_not_look_most_like_places(table):
    guess = nearest_layer(table("wells.shp", NAMED))
    assert guess is None or guess.kind not in MAP_PHRASES


def test_streams_with_a_class_are_water_and_roads_stay_roads(table):
    streams = table("waterways.shp", {"fclass": ["stream", "river"]}, shapes="lines")
    roads = table("roads.shp", {"fclass": ["track", "primary"]}, shapes="lines")
    found = assign_kinds([streams, roads]).layers
    assert [(one.kind, one.path.name) for one in found] == [
        ("roads", "roads.shp"),
        ("water", "waterways.shp"),
    ]


def test_the_evidence_of_water_says_its_name(table):
    (guess,) = assign_kinds([table("rivers.shp", NAMED, shapes="lines")]).layers
    assert guess.evidence == ("lines, 2 rows", "its name says 'river'")
