"""What is left after cutting, and unions by label."""

import geopandas as gpd
import numpy as np
import pytest
import shapely

from geo_scout.sites.ground import only_ground, plane_of, union_by_label

WHOLE = shapely.box(0, 0, 100, 100)


def test_only_polygons_that_are_no_crumbs_are_ground():
    mixed = shapely.GeometryCollection(
        [shapely.box(0, 0, 10, 10), shapely.box(50, 0, 51, 0.9), shapely.LineString([(0, 0), (9, 9)])]
    )
    assert only_ground(mixed, WHOLE).equals(shapely.box(0, 0, 10, 10))
    assert only_ground(shapely.Point(0, 0), WHOLE).is_empty
    assert only_ground(shapely.Polygon(), WHOLE).is_empty


def test_several_parts_and_holes_stay():
    two = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(20, 0, 30, 10)])
    assert only_ground(two, WHOLE).equals(two)
    ring = shapely.box(0, 0, 30, 30).difference(shapely.box(10, 10, 20, 20))
    assert only_ground(ring, WHOLE).area == 800


def test_a_crumb_is_below_one_square_metre_and_below_a_hundredth_of_the_whole():
    cut = shapely.box(0, 0, 1, 0.5)
    assert only_ground(cut, shapely.box(0, 0, 1, 1)).area == 0.5
    assert only_ground(cut, shapely.box(0, 0, 7, 7)).area == 0.5  # 1.02 percent of 49 m2
    assert only_ground(cut, shapely.box(0, 0, 8, 8)).is_empty  # 0.78 percent of 64 m2


def test_union_by_label_follows_the_sorted_labels():
    shapes = np.array([shapely.box(w, 0, w + 10, 10) for w in (0, 100, 5, 200)], dtype=object)
    union = union_by_label(shapes, np.array(["b", "c", "b", "a"], dtype=object))
    assert [one.area for one in union] == [100, 150, 100]
    assert union[0] is shapes[3]
    assert union_by_label(shapes[:0], np.array([], dtype=object)).shape == (0,)


def test_a_frame_without_a_crs_is_our_mistake():
    with pytest.raises(ValueError, match="without a CRS"):
        plane_of(gpd.GeoDataFrame(geometry=[shapely.Point(0, 0)]))
