import pytest
import shapely

from geo_scout.layers.places.shape_kinds import linear_part, polygonal_part

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}
LINE = shapely.LineString([(0, 0), (1, 1)])
BOX = shapely.box(0, 0, 1, 1)


def test_parts_of_a_mixture():
    nested = shapely.GeometryCollection([LINE, shapely.MultiPolygon([BOX, shapely.box(2, 2, 3, 3)])])
    assert polygonal_part(nested).area == 2.0
    assert linear_part(nested) == LINE
    assert linear_part(shapely.GeometryCollection([BOX])).is_empty


def test_a_mixture_keeps_its_polygons_and_says_what_it_lost(folder, told):
    mixture = shapely.GeometryCollection([folder.square(0), folder.line, folder.point(0), folder.point(1)])
    folder.write("infestations", [mixture, folder.square(2)], **HOST)
    layers = folder.read()
    one, other = layers.vectors["infestations"].area
    assert one == pytest.approx(other, rel=1e-3)
    assert told(layers, "mixture-trimmed") == (
        "note: layers.infestations feature row 1\n"
        "  it is a mixture of shapes; 1 line and 2 points in it were left out.\n"
        "  Fix: Put shapes of another kind into a layer of their own."
    )


def test_a_mixture_of_polygons_only_loses_nothing(folder, found):
    folder.write("infestations", [shapely.GeometryCollection([folder.square(0), folder.square(2)])], **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"].geometry.iloc[0].geom_type == "MultiPolygon"
    assert found(layers, "mixture-trimmed") == []


def test_a_mixture_without_what_the_layer_needs(folder, told):
    points = shapely.GeometryCollection([folder.point(0), folder.point(1)])
    folder.write("roads", [points, folder.line], road_class="track")
    layers = folder.read()
    assert len(layers.vectors["roads"]) == 1
    assert told(layers, "shape-wrong") == (
        "caution: layers.roads feature row 1\n"
        "  Set aside: it is a mixture of shapes; this layer needs lines.\n"
        "  Fix: Draw it as the layer needs it, or take it out."
    )


def test_roads_keep_the_lines_of_a_mixture(folder, told):
    folder.write("roads", [shapely.GeometryCollection([folder.line, folder.point(3)])], road_class="track")
    layers = folder.read()
    assert layers.vectors["roads"].geometry.iloc[0].geom_type == "LineString"
    assert "1 point in it was left out." in told(layers, "mixture-trimmed")


def test_several_points_have_no_single_place(folder, told):
    several = shapely.MultiPoint([folder.point(0), folder.point(1)])
    columns = {"release_id": ["a", "b"], "agent": "stem weevil", "date": "2025-01-01"}
    folder.write("releases", [several, folder.point(0)], **columns)
    layers = folder.read()
    assert layers.vectors["releases"]["release_id"].tolist() == ["b"]
    assert told(layers, "shape-wrong") == (
        "caution: layers.releases feature a\n"
        "  Set aside: it is several points in one feature; this layer needs points.\n"
        "  Fix: Draw it as the layer needs it, or take it out."
    )


def test_lines_without_a_width_are_set_aside(folder, told):
    folder.write("infestations", [folder.line, folder.square(1)], **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert told(layers, "line-without-width") == (
        "caution: layers.infestations feature row 1\n"
        "  Set aside: it is a line; this layer needs polygons or points.\n"
        "  Fix: Draw it as an area, or state how wide such lines are: line_width_m = 5"
    )
