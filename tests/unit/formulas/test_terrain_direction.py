import numpy as np
import pytest

from geo_scout.formulas.terrain_direction import mean_direction_deg


def mean_of(*directions_deg, weights=None):
    radians = np.radians(directions_deg)
    weights = np.ones(len(radians)) if weights is None else np.asarray(weights)
    sums = (weights * np.sin(radians)).sum(), (weights * np.cos(radians)).sum(), weights.sum()
    return tuple(float(one) for one in mean_direction_deg(*sums))


@pytest.mark.parametrize(
    ("directions", "mean", "strength"),
    [
        ((90.0, 90.0), 90.0, 1.0),
        ((350.0, 30.0), 10.0, np.cos(np.radians(20))),
        ((0.0, 90.0), 45.0, np.sqrt(0.5)),
        ((180.0, 270.0, 225.0), 225.0, (1 + np.sqrt(2)) / 3),
    ],
)
def test_means_by_hand(directions, mean, strength):
    assert mean_of(*directions) == pytest.approx((mean, strength))


@pytest.mark.parametrize("directions", [(0.0, 180.0), (0.0, 120.0, 240.0), tuple(range(0, 360, 10))])
def test_all_ways_alike_is_no_direction(directions):
    mean, strength = mean_of(*directions)
    assert np.isnan(mean)
    assert strength == pytest.approx(0.0, abs=1e-12)


def test_weights_pull():
    # Two thirds north, one third east: atan2(1, 2), sqrt(5) / 3.
    expected = np.degrees(np.arctan2(1, 2)), np.sqrt(5) / 3
    assert mean_of(0.0, 90.0, weights=[2, 1]) == pytest.approx(expected)


def test_nothing_to_average():
    assert np.isnan(mean_direction_deg(0.0, 0.0, 0.0)).all()


def test_the_mean_stays_below_360_and_the_strength_at_one():
    mean, strength = mean_direction_deg(-1e-20, 1.0 + 1e-12, 1.0)
    assert (float(mean), float(strength)) == (0.0, 1.0)
