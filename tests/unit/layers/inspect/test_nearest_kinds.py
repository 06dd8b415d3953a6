"""A table that is not taken for a layer is told with the layer it is nearest to and what it lacks."""

from geo_scout.layers.inspect.inspect_files import _why_second
from geo_scout.layers.inspect.kinds_guessed import assign_kinds, guess_layer
from geo_scout.layers.inspect.nearest_kinds import why_not_used

BARE = {"shapes": "no shapes", "crs": "", "bounds": None}
HERE = {"lat": ["47.1", "47.2"], "lon": ["-109.5", "-109.6"]}
WAYPOINTS = {
    "ele": ["300", "303"], "time": ["2015-11-01T02:00:00", "2016-11-04T02:00:00"], "name": ["REL00", "REL03"],
    "desc": ["200 midges", "200 midges"], "sym": ["", ""],
}  # fmt: skip
WEEDS = {"weed": ["ashthorn"] * 2, "cover": ["5", "50"]}


def kinds(*found):
    return [layer.kind for layer in assign_kinds(found).layers]


def test_dated_waypoints_look_like_releases_and_lack_the_agent(table):
    found = table("releases.gpx", WAYPOINTS, layer="waypoints")
    assert kinds(found) == []
    assert why_not_used(found) == (
        "it looks most like releases ('name' as release_id, 'time' as date), but lacks agent: add a column "
        "agent with the agent's name."
    )


def test_the_same_waypoints_with_an_agent_are_releases(table):
    assert kinds(table("releases.gpx", WAYPOINTS | {"agent": ["sage midge"] * 2}, layer="waypoints")) == [
        "releases"
    ]


def test_a_list_of_weeds_and_places_is_a_list_of_infestations_whatever_the_file_is_called(table):
    assert kinds(table("list.csv", {"Weed": ["ashthorn", "ashthorn"]} | HERE, **BARE)) == ["infestations"]
    releases = {
        "agent": ["weevil"] * 2,
        "code": ["a", "b"],
        "release id": ["R1", "R2"],
        "date": ["2024-05-06"] * 2,
    }
    assert kinds(table("list.csv", releases | HERE | {"target weed": ["ashthorn"] * 2}, **BARE)) == [
        "releases"
    ]


def test_species_and_places_alone_could_be_anything_and_are_told_so(table):
    found = table("list.csv", {"Species": ["ashthorn", "ashthorn"]} | HERE, **BARE)
    assert kinds(found) == []
    assert "but nothing else tells that it is" in why_not_used(found)


def test_a_position_that_cannot_be_read_is_quoted(table):
    here = {"lat": ["47.1", "99.9"], "lon": ["-109.5", "-109.6"]}
    found = table("list.csv", {"Species": ["ashthorn", "ashthorn"]} | here, **BARE)
    assert why_not_used(found).endswith(
        "lacks a position that can be read: 'lat' holds '99.9' is no latitude."
    )


def test_a_table_that_is_like_nothing_is_told_so(table):
    found = table("wells.shp", {"depth": ["12", "13"], "driller": ["a", "b"]})
    assert why_not_used(found) == "it was not recognised: no layer of a season has these shapes and columns."


def second(table, shapes, other_shapes):
    first = guess_layer("infestations", table("weeds.shp", WEEDS, shapes=shapes))
    other = guess_layer("infestations", table("old.shp", WEEDS, shapes=other_shapes))
    return _why_second(other, {"infestations": first})


def test_two_layers_of_one_kind_are_joined_in_a_way_that_their_shapes_allow(table):
    assert "join the two in your GIS to use both" in second(table, "polygons", "polygons")
    lines = second(table, "polygons", "lines")
    assert "buffer the lines by half their width to polygons in your GIS, then merge the two" in lines
    assert "one GeoPackage or GeoJSON layer, which may hold both kinds of shape" in lines
    points = second(table, "polygons", "points")
    assert "which a shapefile and a geodatabase layer cannot" in points
    assert "buffer" not in points
