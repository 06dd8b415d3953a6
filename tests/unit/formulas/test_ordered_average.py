"""The ordered weighted average at its ends."""

import numpy as np
import pytest

from geo_scout.formulas.ordered_average import (
    alpha_of_attitude,
    order_weights,
    ordered_weighted_average,
    orness,
)


def test_by_hand():
    # best 0.9 of weight 0.2, then 0.5 of 0.3, then 0.1 of 0.5; alpha 2: 0.04, 0.25 - 0.04, 1 - 0.25
    assert ordered_weighted_average([[0.1, 0.9, 0.5]], [0.5, 0.2, 0.3], 2.0) == pytest.approx(
        [0.04 * 0.9 + 0.21 * 0.5 + 0.75 * 0.1]
    )


def test_far_attitudes_are_the_best_and_the_worst_value_that_count():
    values, weights = [[0.3, 0.8, 0.0], [0.6, 0.2, 1.0]], [0.5, 0.5, 0.0]
    assert ordered_weighted_average(values, weights, 1e-9) == pytest.approx([0.8, 0.6], abs=1e-8)
    assert ordered_weighted_average(values, weights, 1e4) == pytest.approx([0.3, 0.2], abs=1e-8)


def test_missing():
    scores = ordered_weighted_average([[np.nan, 0.5, 0.1], [0.2, 0.4, np.nan]], [0.5, 0.5, 0.0], 2.0)
    assert np.isnan(scores[0])
    assert scores[1] == pytest.approx(0.25 * 0.4 + 0.75 * 0.2)
    assert ordered_weighted_average(np.empty((0, 2)), [0.5, 0.5], 2.0).shape == (0,)


def test_orness_of_the_extremes():
    assert orness([1.0, 0.0, 0.0]) == 1.0
    assert orness([0.0, 0.0, 1.0]) == 0.0
    assert orness([0.0, 1.0, 0.0]) == 0.5


@pytest.mark.parametrize("alpha", [0.0, -1.0, np.inf, np.nan])
def test_an_attitude_that_is_none_is_refused(alpha):
    with pytest.raises(ValueError, match="finite number above 0"):
        ordered_weighted_average([[1.0, 0.0]], [0.5, 0.5], alpha)
    with pytest.raises(ValueError, match="finite number above 0"):
        order_weights(3, alpha)


def test_what_does_not_go_together_is_refused():
    with pytest.raises(ValueError, match="do not go with weights"):
        ordered_weighted_average([[1.0, 0.0]], [1.0], 1.0)
    with pytest.raises(ValueError, match="no criterion"):
        order_weights(0, 1.0)
    with pytest.raises(ValueError, match="fewer than two"):
        orness([1.0])


@pytest.mark.parametrize("attitude", [0.1, 0.25, 0.5, 0.8])
def test_the_attitude_is_the_orness_of_its_curve_as_criteria_become_many(attitude):
    """With 4000 equal criteria the orness differs from the area below the curve by less than 1 / 1000."""
    assert orness(order_weights(4000, alpha_of_attitude(attitude))) == pytest.approx(attitude, abs=1e-3)


@pytest.mark.parametrize("attitude", [0.0, 1.0, -1.0, np.nan])
def test_an_attitude_without_a_curve_is_refused(attitude):
    with pytest.raises(ValueError, match="must lie between 0 and 1"):
        alpha_of_attitude(attitude)
