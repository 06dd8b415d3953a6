"""Water and places, which are for the map only: what is read of them, and what is said of the rest."""

import pytest
import shapely

CROSSED = shapely.Polygon([(-110, 47), (-109.999, 47.001), (-109.999, 47), (-110, 47.001)])


def test_water_is_lines_and_polygons_and_needs_no_column(folder):
    folder.write("water", [folder.line, folder.square(1)])
    layers = folder.read()
    assert layers.vectors["water"].geometry.geom_type.tolist() == ["LineString", "Polygon"]
    assert [one for one in layers.findings if one.layer == "water"] == []


def test_columns_of_a_file_of_water_are_passed_over(folder):
    folder.write("water", [folder.line], name="Orrin Creek", cover=40)
    layers = folder.read()
    assert list(layers.vectors["water"].columns) == ["row", "geometry"]


def test_a_mixture_of_water_keeps_the_lake_and_says_that_the_stream_went(folder, told):
    folder.write("water", [shapely.GeometryCollection([folder.square(0), folder.line])])
    layers = folder.read()
    assert layers.vectors["water"].geometry.geom_type.tolist() == ["Polygon"]
    assert told(layers, "mixture-trimmed") == (
        "note: layers.water feature row 1\n"
        "  it is a mixture of shapes; 1 line in it was left out.\n"
        "  Fix: Give its lines and its polygons each a feature of their own."
    )


def test_a_mixture_of_streams_and_points_keeps_the_streams(folder, told):
    folder.write("water", [shapely.GeometryCollection([folder.point(2), folder.line])])
    layers = folder.read()
    assert layers.vectors["water"].geometry.geom_type.tolist() == ["LineString"]
    assert "1 point in it was left out." in told(layers, "mixture-trimmed")


def test_a_lake_that_crosses_itself_is_repaired(folder, told):
    folder.write("water", [CROSSED, folder.line])
    layers = folder.read()
    assert layers.vectors["water"].geometry.is_valid.all()
    assert "its outline is not valid (self-intersection); repaired:" in told(layers, "geometry-repaired")


def test_a_lake_without_area_is_set_aside(folder, found):
    flat = shapely.Polygon([(-110, 47), (-109.99, 47), (-110, 47)])
    folder.write("water", [flat, folder.line, folder.square(1)])
    layers = folder.read()
    assert layers.vectors["water"]["row"].tolist() == [2, 3]
    assert [one.feature for one in found(layers, "area-missing")] == ["row 1"]


def test_a_point_is_no_water(folder, told):
    folder.write("water", [folder.point(), folder.line])
    layers = folder.read()
    assert layers.vectors["water"]["row"].tolist() == [2]
    assert "it is a point; this layer needs lines or polygons." in told(layers, "shape-wrong")


def test_places_keep_their_names_and_the_order_of_the_file(folder):
    folder.write(
        "places", [folder.point(n) for n in range(3)], name=["Tessock", "Orrin", "Marrock"], kind="town"
    )
    places = folder.read().vectors["places"]
    assert places["name"].tolist() == ["Tessock", "Orrin", "Marrock"]
    assert list(places.columns) == ["row", "name", "geometry"]


def test_names_in_a_column_of_another_name(folder):
    folder.write("places", [folder.point()], GNIS_NAME="Orrin")
    folder.layers["places"]["columns"] = {"name": "GNIS_NAME"}
    assert folder.read().vectors["places"]["name"].tolist() == ["Orrin"]


def test_a_place_without_a_name_is_set_aside_with_a_note(folder, told):
    folder.write("places", [folder.point(n) for n in range(3)], name=["Orrin", " ", "Tessock"])
    layers = folder.read()
    assert layers.vectors["places"]["name"].tolist() == ["Orrin", "Tessock"]
    assert told(layers, "blank-value") == (
        "note: layers.places feature row 2\n"
        "  Set aside: name is blank.\n"
        "  Fix: Fill the cell in, or take the row out."
    )


def test_many_places_without_a_name_do_not_stop_the_run(folder, found):
    folder.rules["max_bad_share"] = 0.0
    folder.write("places", [folder.point(n) for n in range(9)], name=["Orrin"] + [None] * 8)
    layers = folder.read()
    assert layers.vectors["places"]["name"].tolist() == ["Orrin"]
    assert found(layers, "too-many-bad") == []


def test_other_layers_still_stop_for_blanks(folder, found):
    folder.rules["max_bad_share"] = 0.0
    shapes = [folder.point(n) for n in range(9)]
    folder.write("releases", shapes, release_id="R", agent=["stem weevil"] + [None] * 8, date="2025-01-01")
    assert len(found(folder.read(), "too-many-bad")) == 1


def test_places_without_a_column_of_names_stop(folder, told):
    folder.write("places", [folder.point()], town="Orrin")
    layers = folder.read()
    assert not layers.has("places")
    assert told(layers, "column-missing") == (
        "stop: layers.places\n"
        "  no column holds name (name of the place); the columns are town.\n"
        "  Fix: Did you mean 'town'? Then write: columns = {name = \"town\"}"
    )


@pytest.mark.parametrize(("shape", "words"), [("line", "a line"), ("square", "a polygon")])
def test_only_points_are_places(folder, told, shape, words):
    one = folder.line if shape == "line" else folder.square()
    folder.write("places", [one, folder.point()], name=["Long Street", "Orrin"])
    layers = folder.read()
    assert layers.vectors["places"]["name"].tolist() == ["Orrin"]
    assert f"it is {words}; this layer needs points." in told(layers, "shape-wrong")


def test_places_of_a_table_with_coordinates(folder):
    rows = [["name", "longitude_deg", "latitude_deg"], ["Orrin", "-109.7", "47.1"], ["Nowhere", "", ""]]
    folder.write_table("places", rows, crs="EPSG:4326")
    layers = folder.read()
    assert layers.vectors["places"]["name"].tolist() == ["Orrin"]


@pytest.mark.parametrize(("layer", "columns"), [("water", {}), ("places", {"name": "Far Harbour"})])
def test_a_layer_of_another_part_of_the_world_is_told(folder, told, layer, columns):
    shape = shapely.Point(-90, 40) if layer == "places" else shapely.LineString([(-90, 40), (-91, 40)])
    folder.write(layer, [shape], **columns)
    assert told(folder.read(), "layer-elsewhere").startswith(
        f"caution: layers.{layer}\n  the whole layer lies "
    )


@pytest.mark.parametrize("layer", ["water", "places"])
def test_a_file_that_cannot_be_read_stops_the_layer(folder, told, layer):
    (folder.folder / "broken.gpkg").write_bytes(b"no map at all")
    folder.add(layer, "broken.gpkg")
    layers = folder.read()
    assert not layers.has(layer)
    assert told(layers, "file-unreadable").startswith(f"stop: layers.{layer}\n")
