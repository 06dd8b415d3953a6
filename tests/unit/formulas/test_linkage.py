"""Joining and dividing patches on shapes that can be drawn on squared paper."""

import numpy as np
import pytest
import shapely

from geo_scout.formulas.linkage import single_linkage, split_extent


def test_a_chain_of_short_gaps_joins_its_ends_and_the_gap_itself_counts_as_joined():
    squares = [shapely.box(west, 0, west + 10, 10) for west in (0, 15, 30, 45.1)]
    assert single_linkage(squares, join_m=5).tolist() == [0, 0, 0, 1]
    assert single_linkage(squares, join_m=4.99).tolist() == [0, 1, 2, 3]
    assert single_linkage(squares, join_m=5.2).tolist() == [0, 0, 0, 0]


def test_gaps_are_measured_edge_to_edge_not_between_centroids():
    long_strips = [shapely.box(0, 0, 1000, 10), shapely.box(1004, 0, 2000, 10)]
    assert single_linkage(long_strips, join_m=5).tolist() == [0, 0]


def test_groups_are_not_joined_and_do_not_lend_their_members_as_stepping_stones():
    points = shapely.points([[0, 0], [5, 0], [10, 0], [11, 0]])
    assert single_linkage(points, 6, group=["a", "b", "a", "a"]).tolist() == [0, 1, 2, 2]
    assert single_linkage(points, 6, group=np.array([1, 1, 1, 2])).tolist() == [0, 0, 0, 1]
    assert single_linkage(points, 6, group=[None, "x", None, "x"]).tolist() == [0, 1, 2, 1]


def test_labels_follow_the_first_member_and_missing_shapes_stand_alone():
    shapes = [
        shapely.Point(100, 0),
        None,
        shapely.Point(0, 0),
        shapely.Point(),
        shapely.Point(100, 1),
        shapely.Point(0, 1),
    ]
    assert single_linkage(shapes, 2).tolist() == [0, 1, 2, 3, 0, 2]


def test_nothing_to_join():
    assert single_linkage([], 10).shape == (0,)
    assert single_linkage([], 10, group=[]).shape == (0,)
    assert single_linkage([None], 10).tolist() == [0]


@pytest.mark.parametrize("join_m", [-1.0, np.nan, np.inf])
def test_an_impossible_join_distance_is_refused(join_m):
    with pytest.raises(ValueError, match="join_m is"):
        single_linkage([shapely.Point(0, 0)], join_m)


def test_group_labels_must_be_one_per_shape():
    with pytest.raises(ValueError, match="1 group labels for 2 shapes"):
        single_linkage(shapely.points([[0, 0], [1, 1]]), 1, group=["a"])


def members(pieces):
    return [[member for member, _ in piece] for piece in pieces]


def test_a_cluster_within_the_cap_stays_whole():
    shapes = [shapely.box(0, 0, 30, 10), shapely.box(0, 10, 30, 40)]  # bounding box 30 x 40: diagonal 50
    assert members(split_extent(shapes, 50.0)) == [[0, 1]]
    assert members(split_extent(shapes, 49.9)) == [[0], [1]]


def test_members_go_whole_to_the_half_that_holds_their_centroid():
    squares = [shapely.box(west, 0, west + 10, 10) for west in (90, 0, 46, 40)]
    pieces = split_extent(squares, 62.0)  # 0..100 divided at 50; centroids 95, 5, 51, 45
    assert members(pieces) == [[1, 3], [0, 2]]
    assert all(shape is squares[member] for piece in pieces for member, shape in piece)


def test_a_centroid_on_the_line_goes_west_or_south():
    assert members(
        split_extent([shapely.box(0, 0, 2, 1), shapely.box(4, 0, 6, 1), shapely.box(8, 0, 10, 1)], 7)
    ) == [[0, 1], [2]]
    assert members(
        split_extent([shapely.box(0, 0, 1, 2), shapely.box(0, 4, 1, 6), shapely.box(0, 8, 1, 10)], 7)
    ) == [[0, 1], [2]]


def test_a_long_member_is_cut_and_the_others_are_not():
    river, patch = shapely.box(0, 0, 100, 2), shapely.box(45, 3, 65, 5)
    pieces = split_extent([river, patch], 60.0)
    assert members(pieces) == [[0], [0, 1]]
    assert pieces[0][0][1].bounds == (0.0, 0.0, 50.0, 2.0)
    assert pieces[1][0][1].bounds == (50.0, 0.0, 100.0, 2.0)
    assert pieces[1][1][1] is patch


def test_when_all_centroids_are_in_one_half_the_crossing_members_are_cut():
    cross = [shapely.box(-50, -1, 50, 1), shapely.box(-1, -50, 1, 50)]  # each 100.02 long, together 141.4
    pieces = split_extent(cross, 101.0)
    assert all(extent(piece) <= 101.0 for piece in pieces)
    for member, whole in enumerate(cross):
        assert sum(part.area for piece in pieces for i, part in piece if i == member) == pytest.approx(
            whole.area, rel=1e-12
        )


def extent(piece):
    west, south, east, north = shapely.total_bounds(np.array([part for _, part in piece], dtype=object))
    return np.hypot(east - west, north - south)


def test_parts_of_a_cut_polygon_are_polygons_and_touching_lines_or_points_are_dropped():
    # a comb whose one tooth ends exactly on the line (easting 50) and whose back runs along it
    comb = shapely.Polygon(
        [(0, 0), (100, 0), (100, 10), (50, 10), (50, 30), (0, 30), (0, 20), (40, 20), (40, 10), (0, 10)]
    )
    pieces = split_extent([comb], 70.0)
    parts = [part for piece in pieces for _, part in piece]
    assert {part.geom_type for part in parts} <= {"Polygon", "MultiPolygon"}
    assert sum(part.area for part in parts) == pytest.approx(comb.area, rel=1e-12)
    u_shape = shapely.Polygon(
        [(0, 0), (100, 0), (100, 10), (10, 10), (10, 20), (100, 20), (100, 30), (0, 30)]
    )
    pieces = split_extent([u_shape], 70.0)
    assert [part.geom_type for piece in pieces for _, part in piece] == ["Polygon", "MultiPolygon"]


def test_lines_and_points_are_divided_too():
    line = shapely.LineString([(0, 0), (100, 0)])
    pieces = split_extent([line, shapely.Point(80, 0), shapely.Point(120, 0)], 70.0)
    assert members(pieces) == [[0], [0, 1, 2]]
    assert sum(part.length for piece in pieces for i, part in piece if i == 0) == pytest.approx(100.0)


def test_missing_members_are_dropped_and_nothing_gives_nothing():
    assert members(split_extent([None, shapely.box(0, 0, 1, 1), shapely.Polygon()], 10.0)) == [[1]]
    assert split_extent([], 10.0) == []
    assert split_extent([None], 10.0) == []


@pytest.mark.parametrize("cap_m", [0.0, -5.0, np.nan, np.inf])
def test_an_impossible_cap_is_refused(cap_m):
    with pytest.raises(ValueError, match="max_extent_m is"):
        split_extent([shapely.box(0, 0, 1, 1)], cap_m)
