import numpy as np
import pytest
import shapely

from geo_scout.formulas.longitudes import middle_of, near_to, whole_near_to


@pytest.mark.parametrize(
    ("longitude_deg", "centre_deg", "expected_deg"),
    [
        (-110.0, 180.0, 250.0),
        (250.0, 0.0, -110.0),
        (610.0, 0.0, -110.0),
        (-110.0, 0.0, -110.0),
        (180.0, 0.0, 180.0),
        (-179.9, 179.9, 180.1),
    ],
)
def test_the_same_meridian_near_a_centre(longitude_deg, centre_deg, expected_deg):
    assert near_to(np.array([longitude_deg]), centre_deg)[0] == pytest.approx(expected_deg, abs=1e-12)


def test_what_is_near_keeps_its_last_bit_and_nowhere_stays_nowhere():
    given = np.array([0.1 + 0.2, np.nan, np.inf])
    moved = near_to(given, 10.0)
    assert moved[0] == given[0]
    assert np.isnan(moved[1])
    assert np.isinf(moved[2])


def test_a_shape_across_the_antimeridian_becomes_one_piece():
    torn = shapely.Polygon([(179.9, 0), (-179.9, 0), (-179.9, 1), (179.9, 1)])
    [east] = whole_near_to(np.array([torn], dtype=object), 170.0)
    [west] = whole_near_to(np.array([torn], dtype=object), -170.0)
    assert east.bounds == pytest.approx((179.9, 0, 180.1, 1))
    assert west.bounds == pytest.approx((-180.1, 0, -179.9, 1))


def test_missing_shapes_and_shapes_that_stay_are_handed_through():
    shapes = np.array([None, shapely.box(-111, 46, -110, 47), shapely.Polygon()], dtype=object)
    assert whole_near_to(shapes, 0.0) is shapes
    moved = whole_near_to(shapes, 180.0)
    assert moved[0] is None
    assert moved[1].bounds == (249.0, 46.0, 250.0, 47.0)
    assert shapes[1].bounds == (-111.0, 46.0, -110.0, 47.0)


@pytest.mark.parametrize(
    ("longitude_deg", "expected_deg"),
    [
        ([-117.21, -116.72], (-117.21 - 116.72) / 2),
        ([12.5], 12.5),
        ([-120.0, 60.0], -30.0),
        ([179.98, -179.99, 179.9, -179.7], 180.1),
        ([-179.9, -179.7], -179.8),
        ([-120.0, 80.0], 160.0),
        ([-120.0, 0.0, 80.0], -20.0),
        ([-180.0, 180.0], 180.0),
    ],
)
def test_the_middle_is_that_of_the_shortest_arc(longitude_deg, expected_deg):
    assert middle_of(np.array(longitude_deg)) == pytest.approx(expected_deg, abs=1e-12)


def test_the_middle_of_what_lies_away_from_the_line_keeps_its_last_bit():
    given = np.array([-110.123457, -109.7, -109.308333])
    assert middle_of(given) == (given.min() + given.max()) / 2.0
