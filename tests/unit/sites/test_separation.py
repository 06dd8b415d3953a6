"""Distances of many pairs against GEOS, pair by pair."""

import numpy as np
import pytest
import shapely

from geo_scout.sites.separation import draw_outlines, measure_gaps_m


def blobs(number, seed):
    """Return star-shaped polygons from 10 m to 2.5 km in radius on 40 x 40 km."""
    rng = np.random.default_rng(seed)
    centre = rng.uniform(0, 40_000, (number, 1, 2))
    angle = np.sort(rng.uniform(0, 2 * np.pi, (number, 12)), axis=1)
    radius = 10 ** rng.uniform(1, 3.4, (number, 1)) * rng.uniform(0.2, 1, (number, 12))
    ring = centre + np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1)
    return shapely.make_valid(shapely.polygons(ring))


def test_near_pairs_are_exact_and_far_ones_within_a_hundredth():
    shapes = blobs(300, seed=5)
    one, other = np.triu_indices(len(shapes), 1)
    gap_m = measure_gaps_m(draw_outlines(shapes), one, other)
    true_m = shapely.distance(shapes[one], shapes[other])
    assert (gap_m[true_m == 0] == 0).all()
    assert (true_m == 0).sum() > 10
    apart = true_m > 0
    error = gap_m[apart] / true_m[apart] - 1
    assert error.min() > -0.01
    assert error.max() < 0.001
    assert (error != 0).sum() > 1000  # the far way was taken
    assert (error == 0).sum() > 1000  # and the exact one, too


def test_the_worst_case_is_two_lines_of_weeds_seen_from_their_sides_between_two_directions():
    strips = [shapely.box(-1000, -5, 1000, 5), shapely.box(-1000, 22_000, 1000, 22_010)]  # 21,995 m apart
    half_step = 360 / 64 / 2
    turned = np.array([shapely.affinity.rotate(strip, half_step, origin=(0, 0)) for strip in strips])
    gap_m = measure_gaps_m(draw_outlines(turned), np.array([0]), np.array([1]))
    # Each reaches 1,000 m x sin(pi / 64) = 49 m too far.
    assert gap_m == pytest.approx([21_995 - 2 * 49.07], abs=1.0)


def test_nothing_to_measure():
    outlines = draw_outlines(np.array([], dtype=object))
    none = np.array([], dtype=np.intp)
    assert measure_gaps_m(outlines, none, none).shape == (0,)
