import pytest
import shapely
from pyproj import Geod

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def test_a_straight_line_becomes_its_length_times_the_width(folder, told):
    folder.write("infestations", [folder.line, folder.square(2)], **HOST)
    folder.layers["infestations"]["line_width_m"] = 6.0
    layers = folder.read()
    # The length on the ellipsoid is pyproj's own; the map is true in area, so lengths on it vary a little.
    length_m = Geod(ellps="WGS84").geometry_length(folder.line)
    assert layers.vectors["infestations"].area.iloc[0] == pytest.approx(6.0 * length_m, rel=1e-3)
    assert told(layers, "line-widened") == (
        "note: layers.infestations\n"
        "  1 line (row 1) became strips 6 m wide (line_width_m).\n"
        "  Fix: Draw them as areas where the width differs."
    )


def test_several_lines_and_the_lines_of_a_mixture(folder):
    far = shapely.LineString([(-109.9, 47.0), (-109.9, 47.001)])
    shapes = [shapely.MultiLineString([folder.line, far]), shapely.GeometryCollection([far, folder.point(0)])]
    folder.write("treatments", shapes, treatment_id=["a", "b"], kind="mowing", start="2025-01-01")
    folder.layers["treatments"]["line_width_m"] = 4.0
    frame = folder.read().vectors["treatments"]
    assert frame.geometry.geom_type.tolist() == ["MultiPolygon", "Polygon"]
    far_m = Geod(ellps="WGS84").geometry_length(far)
    assert frame.area.iloc[1] == pytest.approx(4.0 * far_m, rel=1e-3)


def test_a_line_of_no_length_has_no_area(folder, told):
    dot = shapely.LineString([(-110, 47), (-110, 47)])
    folder.write("infestations", [dot, folder.square(1)], **HOST)
    folder.layers["infestations"]["line_width_m"] = 4.0
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert "  Set aside: its outline encloses no area.\n" in told(layers, "area-missing")


def test_roads_stay_lines(folder):
    folder.write("roads", [folder.line], road_class="track")
    assert folder.read().vectors["roads"].geometry.geom_type.tolist() == ["LineString"]
