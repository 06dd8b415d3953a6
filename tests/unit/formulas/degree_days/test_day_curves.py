"""What a day has above a threshold, where geometry gives the answer."""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.day_curves import LEVEL, SINE, TRIANGLE, TWO_LEVELS

CURVES = {"sine": SINE, "triangle": TRIANGLE, "level": LEVEL, "two levels": TWO_LEVELS}


@pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES)
def test_a_day_wholly_above_gives_its_mean_excess(curve):
    low, high = np.array([12.0, 20.0]), np.array([20.0, 20.0])
    assert curve.area(low, high, 10.0) == pytest.approx([6.0, 10.0])
    assert curve.share(low, high, 10.0).tolist() == [1.0, 1.0]


@pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES)
def test_a_day_at_or_below_gives_nothing(curve):
    low, high = np.array([2.0, 5.0, 10.0]), np.array([9.0, 10.0, 10.0])
    assert curve.area(low, high, 10.0).tolist() == [0.0, 0.0, 0.0]
    assert curve.share(low, high, 10.0).tolist() == [0.0, 0.0, 0.0]


def test_a_triangle_above_a_threshold():
    # 0 to 20: above 15 lies a triangle 5 high and a quarter of the day wide, 5 x 0.25 / 2
    low, high = np.array([0.0]), np.array([20.0])
    assert TRIANGLE.area(low, high, 15.0) == pytest.approx([0.625])
    assert TRIANGLE.share(low, high, 15.0) == pytest.approx([0.25])


def test_a_sine_above_a_threshold():
    # 0 to 20: above 15 from 30 to 150 degrees, a third of the day; (10 x 2 cos 30 deg - 5 x 2 pi / 3) / 2 pi
    low, high = np.array([0.0]), np.array([20.0])
    assert SINE.share(low, high, 15.0) == pytest.approx([1 / 3])
    assert SINE.area(low, high, 15.0) == pytest.approx(
        [(20 * np.cos(np.pi / 6) - 10 * np.pi / 3) / (2 * np.pi)]
    )


def test_averages_above_a_threshold():
    low, high = np.array([0.0, 8.0]), np.array([14.0, 20.0])
    assert LEVEL.area(low, high, 10.0).tolist() == [0.0, 4.0]
    assert LEVEL.share(low, high, 10.0).tolist() == [0.0, 1.0]
    assert TWO_LEVELS.area(low, high, 10.0).tolist() == [2.0, 5.0]
    assert TWO_LEVELS.share(low, high, 10.0).tolist() == [0.5, 0.5]


@pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES)
def test_missing_stays_missing_and_inputs_stay_as_they_are(curve):
    low, high = np.array([5.0, np.nan, 5.0, np.nan]), np.array([15.0, 15.0, np.nan, np.nan])
    before = low.copy(), high.copy()
    for found in (curve.area(low, high, 10.0), curve.share(low, high, 10.0)):
        np.testing.assert_array_equal(np.isnan(found), [False, True, True, True])
    np.testing.assert_array_equal([low, high], before)
