import numpy as np
import pytest
import shapely

from geo_scout.formulas.geodesy import geodesic_area_ha
from geo_scout.layers.places.areas import circles

HOST = {"host": "ashthorn", "cover": 40.0}

# Square metres by definition: international foot 0.3048 m, acre 43,560 square feet.
UNITS = {"ha": 10_000.0, "acre": 43_560 * 0.3048**2, "m2": 1.0, "ft2": 0.3048**2, "km2": 1e6}


@pytest.mark.parametrize("unit", UNITS)
def test_point_with_area_becomes_a_circle_of_that_area(folder, unit):
    folder.write("infestations", [folder.point()], area=2.5, **HOST)
    folder.layers["infestations"]["units"] = {"area": unit, "cover": "percent"}
    layers = folder.read()
    shape = layers.vectors["infestations"].geometry.iloc[0]
    assert shape.geom_type == "Polygon"
    assert shape.area == pytest.approx(2.5 * UNITS[unit], rel=1e-12)
    assert layers.vectors["infestations"]["area"].tolist() == [2.5]
    assert layers.findings[0].code == "undated"


def test_circle_is_a_circle_of_true_area_on_the_ground(folder):
    folder.write("infestations", [folder.point()], area=10.0, **HOST)
    frame = folder.read().vectors["infestations"]
    corners = shapely.get_coordinates(frame.geometry.iloc[0])
    centre = shapely.get_coordinates(frame.geometry.iloc[0].centroid)
    radii = np.hypot(*(corners - centre).T)
    assert radii.max() - radii.min() < 1e-6
    # An independent route: the same outline measured on the ellipsoid.
    [area_ha] = geodesic_area_ha(frame.to_crs(4326).geometry.to_numpy())
    assert area_ha == pytest.approx(10.0, rel=1e-6)


def test_default_unit_is_said(folder, told):
    folder.write("infestations", [folder.point()], area=2.5, host="ashthorn", cover=None)
    assert told(folder.read(), "unit-assumed") == (
        "note: layers.infestations\n"
        "  no unit of area is stated, so it was read as hectares, the default.\n"
        '  Fix: To be sure of it, add: units = {area = "ha"}'
    )


def test_point_area_ha_fills_points_without_area_only(folder, told):
    shapes = [folder.point(0), folder.point(1), folder.square(2)]
    folder.write("infestations", shapes, area=[None, 3.0, None], id=["p", "q", "s"], **HOST)
    folder.layers["infestations"] |= {"point_area_ha": 0.1, "units": {"area": "ha"}}
    layers = folder.read()
    area_m2 = layers.vectors["infestations"].area
    assert area_m2.iloc[:2].tolist() == pytest.approx([1_000.0, 30_000.0], rel=1e-12)
    assert told(layers, "point-area-used") == (
        "note: layers.infestations\n"
        "  1 point (p) without an area became circles of 0.1 ha (point_area_ha).\n"
        "  Fix: Give these points an area of their own if you know it."
    )


def test_point_without_any_area_is_set_aside(folder, told):
    folder.write("infestations", [folder.point(0), folder.square(1)], **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert told(layers, "point-without-area") == (
        "caution: layers.infestations feature row 1\n"
        "  Set aside: it is a point and has no area.\n"
        "  Fix: Give it an area, or one for all such points: point_area_ha = 0.1"
    )


@pytest.mark.parametrize("written", ["0", "-2", "two"])
def test_impossible_area(folder, told, written):
    folder.write("infestations", [folder.point(0), folder.square(1)], area=[written, ""], **HOST)
    folder.layers["infestations"] |= {"point_area_ha": 0.1, "units": {"area": "acre"}}
    assert told(folder.read(), "area-impossible") == (
        "caution: layers.infestations feature row 1\n"
        f"  Set aside: its area '{written}' is not a number above 0 (unit: acre).\n"
        "  Fix: Write the number alone, above 0 and in the layer's unit of area."
    )


def test_single_point_in_a_multipoint_is_a_point(folder, told):
    shapes = [shapely.MultiPoint([folder.point(0)]), shapely.MultiPoint([folder.point(1), folder.point(2)])]
    folder.write("infestations", shapes, area=1.0, **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"].area.tolist() == pytest.approx([10_000.0])
    assert told(layers, "multipoint-area") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: it is several points in one feature, and nobody knows each one's area.\n"
        "  Fix: Make a feature of each point, with an area of its own."
    )


def test_several_points_with_the_area_all_points_have_become_their_circles(folder, told):
    far = shapely.MultiPoint([folder.point(1), folder.point(2)])
    same = shapely.MultiPoint([folder.point(4), folder.point(4)])
    folder.write("infestations", [folder.point(0), far, same], id=["a", "b", "c"], **HOST)
    folder.layers["infestations"]["point_area_ha"] = 0.5
    layers = folder.read()
    shapes = layers.vectors["infestations"].geometry
    # One circle of half a hectare, two of them apart, and two on one another.
    assert shapes.area.tolist() == pytest.approx([5_000.0, 10_000.0, 5_000.0], rel=1e-9)
    assert shapes.geom_type.tolist() == ["Polygon", "MultiPolygon", "Polygon"]
    assert "3 points (a, b, c) without an area became circles of 0.5 ha" in told(layers, "point-area-used")


def test_circles_of_no_points():
    assert circles(np.empty((0, 2)), np.empty(0)).shape == (0,)


@pytest.mark.parametrize(("area", "point_area_ha"), [(1e-300, None), (None, 1e-300)])
def test_less_than_a_square_centimetre_is_no_area(folder, told, area, point_area_ha):
    folder.write("infestations", [folder.point(0), folder.point(1)], area=[2.5, area], **HOST)
    if point_area_ha is not None:
        folder.layers["infestations"]["point_area_ha"] = point_area_ha
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "area-impossible") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: its area is less than a square centimetre.\n"
        "  Fix: Write the number alone, above 0 and in the layer's unit of area."
    )
