"""Joining and dividing: the order of members is irrelevant, nothing is lost, nothing is too long."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.formulas.linkage import single_linkage, split_extent

UNTIMED = settings(deadline=None)  # the machine may be busy

coordinates = st.integers(0, 2_000).map(float)
sizes = st.integers(1, 900)
boxes = st.builds(
    lambda west, south, width, height: shapely.box(west, south, west + width, south + height),
    coordinates,
    coordinates,
    sizes,
    sizes,
)
# triangles have their centroid far from the middle of their box, and oblique sides that a cut must round
triangles = (
    st.lists(st.tuples(coordinates, coordinates), min_size=3, max_size=3)
    .map(shapely.Polygon)
    .filter(lambda triangle: triangle.area > 1)
)
rings = st.builds(
    lambda east, north, radius: (
        shapely.Point(east, north)
        .buffer(radius, 4)
        .difference(shapely.Point(east + radius / 4, north).buffer(radius / 2, 4))
    ),
    coordinates,
    coordinates,
    sizes,
)
shapes = st.one_of(boxes, triangles, rings)


def partition(labels):
    return {tuple(np.flatnonzero(labels == label)) for label in set(labels.tolist())}


@UNTIMED
@given(st.lists(shapes, max_size=8), st.integers(0, 400), st.randoms(use_true_random=False))
def test_clusters_do_not_depend_on_the_order_of_shapes(members, join_m, random):
    order = list(range(len(members)))
    random.shuffle(order)
    labels = single_linkage(members, join_m)
    shuffled = np.empty_like(labels)
    shuffled[order] = single_linkage([members[position] for position in order], join_m)
    assert partition(shuffled) == partition(labels)
    assert labels.tolist() == sorted_by_first_appearance(labels)


def sorted_by_first_appearance(labels):
    seen: dict[int, int] = {}
    return [seen.setdefault(label, len(seen)) for label in labels.tolist()]


@UNTIMED
@given(st.lists(shapes, max_size=8), st.integers(0, 400), st.integers(0, 400))
def test_a_longer_join_never_parts_what_a_shorter_one_joined(members, one_m, other_m):
    near, far = (single_linkage(members, join_m) for join_m in sorted((one_m, other_m)))
    assert all(len(set(far[list(cluster)])) == 1 for cluster in partition(near))


@UNTIMED
@given(st.lists(shapes, max_size=8), st.integers(0, 400), st.data())
def test_clusters_stay_within_their_group(members, join_m, data):
    group = data.draw(st.lists(st.sampled_from("abc"), min_size=len(members), max_size=len(members)))
    labels = single_linkage(members, join_m, group)
    assert all(len({group[member] for member in cluster}) == 1 for cluster in partition(labels))


def described(pieces, names):
    return [
        sorted((names[member], shapely.normalize(part).wkb) for member, part in piece) for piece in pieces
    ]


@UNTIMED
@given(st.lists(shapes, max_size=6), st.floats(150, 3_000), st.randoms(use_true_random=False))
def test_pieces_are_short_enough_lose_no_area_and_do_not_depend_on_the_order(members, cap_m, random):
    pieces = split_extent(members, cap_m)
    kept = np.zeros(len(members))
    for piece in pieces:
        west, south, east, north = shapely.total_bounds(np.array([part for _, part in piece], dtype=object))
        assert math.hypot(east - west, north - south) <= cap_m
        for member, part in piece:
            assert part.geom_type in ("Polygon", "MultiPolygon")
            assert part.area > 0
            kept[member] += part.area
    assert kept == pytest.approx(shapely.area(np.array(members, dtype=object)), rel=1e-9)
    order = list(range(len(members)))
    random.shuffle(order)
    again = split_extent([members[position] for position in order], cap_m)
    assert described(again, order) == described(pieces, range(len(members)))


@UNTIMED
@given(st.lists(boxes, min_size=1, max_size=6), st.floats(1_400, 3_000))
def test_no_member_shorter_than_the_cap_is_cut_unless_one_half_would_stay_empty(members, cap_m):
    pieces = split_extent(members, cap_m)
    counts = np.bincount([member for piece in pieces for member, _ in piece], minlength=len(members))
    # boxes up to 900 x 900 are never longer than the cap, and their centroid is the middle of their box:
    # a cut is needed only where all centroids lie on one side, which for boxes means one of them spans
    # more than half
    assert (counts >= 1).all()
    for member in np.flatnonzero(counts > 1):
        west, south, east, north = members[member].bounds
        assert max(east - west, north - south) > cap_m / math.sqrt(2) / 2
