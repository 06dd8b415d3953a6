"""Distances of many pairs against GEOS, pair by pair."""

import numpy as np
import pytest
import shapely

from geo_scout.formulas import edge_gaps
from geo_scout.formulas.edge_gaps import draw_outlines, measure_gaps_m


def blobs(number, seed):
    """Return star-shaped polygons from 10 m to 2.5 km in radius on 40 x 40 km."""
    rng = np.random.default_rng(seed)
    centre = rng.uniform(0, 40_000, (number, 1, 2))
    angle = np.sort(rng.uniform(0, 2 * np.pi, (number, 12)), axis=1)
    radius = 10 ** rng.uniform(1, 3.4, (number, 1)) * rng.uniform(0.2, 1, (number, 12))
    ring = centre + np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1)
    return shapely.make_valid(shapely.polygons(ring))


def gaps(*shapes):
    return measure_gaps_m(draw_outlines(np.array(shapes, dtype=object)), np.array([0]), np.array([1]))


@pytest.mark.parametrize("seed", range(5, 9))
def test_every_pair_is_as_far_apart_as_geos_says(seed):
    shapes = blobs(300, seed)
    one, other = np.triu_indices(len(shapes), 1)
    true_m = shapely.distance(shapes[one], shapes[other])
    assert (true_m == 0).sum() > 10
    assert measure_gaps_m(draw_outlines(shapes), one, other) == pytest.approx(true_m, rel=1e-12, abs=1e-9)


def test_few_pairs_are_left_to_geos(monkeypatch):
    shapes = blobs(300, seed=5)
    one, other = np.triu_indices(len(shapes), 1)
    measured = []

    def distance(these, those):
        measured.append(len(these))
        return np.zeros(len(these))

    monkeypatch.setattr(edge_gaps.shapely, "distance", distance)
    measure_gaps_m(draw_outlines(shapes), one, other)
    # A side or a bay faces the other shape over an angle of about radius / gap: here 400 m to some 20 km.
    assert 0 < sum(measured) < 0.2 * len(one)


def test_nearest_at_a_corner_a_side_and_in_a_bay():
    square = shapely.box(0, 0, 100, 100)
    assert gaps(square, shapely.box(400, 500, 410, 510)) == pytest.approx(
        [500.0]
    )  # corners, 300 east, 400 north
    assert gaps(square, shapely.box(20, 1100, 30, 1110)) == pytest.approx([1000.0])  # a side, straight north
    bay = shapely.box(-500, 0, 500, 300) - shapely.box(-100, 0, 100, 200)  # a bay of 200 m, open to the south
    assert gaps(bay, shapely.box(-5, -1010, 5, -1000)) == pytest.approx([np.hypot(95, 1000)])
    assert gaps(bay, shapely.box(-5, 40, 5, 50)) == pytest.approx([95.0])  # inside the bay: inside the hull


def test_touching_and_overlapping_shapes_are_no_distance_apart():
    square = shapely.box(0, 0, 100, 100)
    for other in (
        shapely.box(100, 100, 200, 200),
        shapely.box(100, 0, 200, 100),
        shapely.box(10, 10, 20, 20),
        square,
    ):
        assert gaps(square, other).tolist() == [0.0]


def test_holes_and_parts_count():
    ring = shapely.Point(0, 0).buffer(1000) - shapely.Point(0, 0).buffer(900)
    assert gaps(ring, shapely.box(-5, -5, 5, 5)) == pytest.approx(
        [shapely.distance(ring, shapely.box(-5, -5, 5, 5))]
    )
    pair = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(5000, 0, 5010, 10)])
    assert gaps(pair, shapely.box(6010, 0, 6020, 10)) == pytest.approx([1000.0])
    assert gaps(pair, shapely.box(2500, 400, 2510, 410)) == pytest.approx([np.hypot(2490, 390)])


def test_points_among_polygons_are_as_far_apart_as_geos_says():
    draw = np.random.default_rng(11)
    points = shapely.points(draw.uniform(0, 40_000, (80, 2)))
    polygons = blobs(80, 12)
    corner = shapely.Point(shapely.get_coordinates(polygons[0])[0])
    shapes = np.array([*polygons[:40], *points, *polygons[40:], corner, polygons[1].point_on_surface()])
    one, other = np.triu_indices(len(shapes), 1)
    true_m = shapely.distance(shapes[one], shapes[other])
    np.testing.assert_allclose(
        measure_gaps_m(draw_outlines(shapes), one, other), true_m, rtol=1e-9, atol=1e-6
    )


def test_nothing_to_measure():
    outlines = draw_outlines(np.array([], dtype=object))
    none = np.array([], dtype=np.intp)
    assert measure_gaps_m(outlines, none, none).shape == (0,)
