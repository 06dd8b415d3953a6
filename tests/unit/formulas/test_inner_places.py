"""One place inside each shape, wherever its last digits come from."""

import numpy as np
import pytest
import shapely

from geo_scout.formulas.inner_places import HEIGHT_SHARE, inner_places

NOISE_M = 1e-8
"""More than one reprojection and back leaves on coordinates of some hundred kilometres."""
ORIGIN_M = np.array([123_456.7, -98_765.4])


def places_under_noise(shape, shifts=50):
    """Return the places of a shape far from the origin whose vertices are off by nothing that matters, to 0.1 mm."""
    far = shapely.transform(shape, lambda at: at + ORIGIN_M)
    # Noise that goes with the place, so that rings stay closed.
    noisy = [
        shapely.transform(far, lambda at, by=by: at + NOISE_M * np.sin(1e3 * at + by)) for by in range(shifts)
    ]
    found = shapely.get_coordinates(inner_places(np.array(noisy, dtype=object))) - ORIGIN_M
    return {tuple(place) for place in np.round(found, 4).tolist()}


def circle(east_m, north_m):
    return shapely.Point(east_m, north_m).buffer(40.0, quad_segs=16)


def test_it_is_the_middle_of_the_widest_stretch_near_half_the_height():
    # A right triangle 10 wide and 10 high: at the height 10 h the stretch runs from 0 to 10 - 10 h.
    [place] = inner_places(np.array([shapely.Polygon([(0, 0), (10, 0), (0, 10)])]))
    assert pytest.approx(0.493, abs=0.001) == HEIGHT_SHARE
    assert (place.x, place.y) == pytest.approx((5 - 5 * HEIGHT_SHARE, 10 * HEIGHT_SHARE))


def test_two_equal_circles_agree_on_the_western_one():
    assert len(places_under_noise(circle(0, 0))) == 1
    pair = shapely.MultiPolygon([circle(500, 0), circle(0, 0)])
    [(east_m, _)] = places_under_noise(pair)
    assert east_m == pytest.approx(0.0, abs=0.001)


def test_equal_arms_agree_on_the_western_one():
    arms = shapely.box(0, 0, 90, 90).difference(shapely.box(30, 20, 60, 100))
    assert places_under_noise(arms) == {(15.0, round(90 * HEIGHT_SHARE, 4))}


def test_one_more_vertex_on_a_straight_side_moves_nothing():
    plain = shapely.Polygon([(0, 0), (50, 10), (60, 70), (5, 64)])
    for share in (0.3, 0.45, 0.5, 0.55):
        more = shapely.Polygon([(0, 0), (50, 10), (50 + 10 * share, 10 + 60 * share), (60, 70), (5, 64)])
        plain_place, place = shapely.get_coordinates(inner_places(np.array([plain, more])))
        assert place == pytest.approx(plain_place, abs=1e-9)


@pytest.mark.parametrize("rows", [2, 3, 4, 10, 71, 144])
def test_outlines_round_cells_have_no_side_where_the_line_runs(rows):
    # Stairs: each row of cells is a cell further east than the one below.
    stairs = shapely.union_all(
        [shapely.box(30 * row, 30 * row, 30 * row + 90, 30 * row + 30) for row in range(rows)]
    )
    assert len(places_under_noise(stairs, 10)) == 1


def test_islands_and_holes_are_no_trouble():
    islands = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(0, 90, 10, 100.1)])
    ring = shapely.box(0, 0, 30, 30).difference(shapely.box(10, 10, 20, 20))
    horseshoe = shapely.box(0, 0, 900, 900).difference(shapely.box(100, 100, 1000, 800))
    hair = shapely.box(0, 0, 1e-5, 30)
    shapes = np.array([islands, ring, horseshoe, hair], dtype=object)
    assert shapely.contains(shapes, inner_places(shapes)).all()
    assert inner_places(shapes)[0].y > 90


def test_a_point_is_its_own_place_and_nothing_has_none():
    found = inner_places(np.array([shapely.Point(3, 4), None, shapely.Polygon()], dtype=object))
    assert found[0] == shapely.Point(3, 4)
    assert found[1] is None
    assert found[2].is_empty
    assert len(inner_places(np.array([], dtype=object))) == 0
