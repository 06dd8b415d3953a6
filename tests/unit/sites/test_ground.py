"""What is left after cutting."""

import numpy as np
import shapely

from geo_scout.sites.ground import SLIT_M, close_slits, only_ground

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


def test_slits_and_needles_along_a_seam_are_closed_and_the_ground_stays():
    # Two halves of a square of 100 m whose seam has a vertex more on one side, off by a billionth of a metre.
    west = shapely.Polygon([(0, 0), (50, 0), (50 - 1e-9, 37.3), (50, 100), (0, 100)])
    east = shapely.Polygon([(50, 0), (100, 0), (100, 100), (50, 100)])
    seamed = shapely.union(west, east)
    assert seamed.length > 400.0 + 99.0
    [whole] = close_slits(np.array([seamed], dtype=object))
    assert whole.equals(shapely.box(0, 0, 100, 100))
    assert whole.length == 400.0


def test_closing_slits_moves_no_vertex_by_more_than_they_are_wide_and_loses_no_shape():
    shape = shapely.Point(12_345.678_9, -9_876.543_2).buffer(40.0)
    hair = shapely.box(0, 0, SLIT_M / 10, 50)
    closed = close_slits(np.array([shape, hair], dtype=object))
    assert shapely.hausdorff_distance(closed[0], shape) < SLIT_M
    assert closed[1].equals(hair)
    assert shapely.get_precision(closed).tolist() == [0.0, 0.0]
    assert len(close_slits(np.array([], dtype=object))) == 0
