"""Rank-order centroid weights against the published values and against the draws they are the centre of."""

from fractions import Fraction

import numpy as np
import pytest

from geo_scout.formulas.weights import rank_order_centroid


@pytest.mark.parametrize(
    "expected",
    [
        [0.75, 0.25],
        [0.6111, 0.2778, 0.1111],
        [0.5208, 0.2708, 0.1458, 0.0625],
        [0.4567, 0.2567, 0.1567, 0.09, 0.04],
    ],
)
def test_published_values(expected):
    # Barron & Barrett 1996, printed to four digits.
    assert rank_order_centroid(np.arange(1, len(expected) + 1)) == pytest.approx(expected, abs=5e-5)


@pytest.mark.parametrize("count", [1, 2, 7, 12])
def test_fractions(count):
    exact = [sum(Fraction(1, i) for i in range(place, count + 1)) / count for place in range(1, count + 1)]
    assert rank_order_centroid(np.arange(1, count + 1)) == pytest.approx([float(w) for w in exact], rel=1e-13)


def test_centre_of_all_weights_that_agree_with_the_order():
    # 200,000 weights drawn evenly and sorted: standard error of each mean below 0.0005; five of them.
    draws = np.random.default_rng(6).dirichlet(np.ones(4), 200_000)
    means = np.sort(draws, axis=1)[:, ::-1].mean(axis=0)
    assert rank_order_centroid([1, 2, 3, 4]) == pytest.approx(means, abs=0.0025)


def test_centre_where_two_are_in_no_order():
    # Of evenly drawn weights those with the first above both others, which are in no order: the same centre.
    draws = np.random.default_rng(7).dirichlet(np.ones(4), 200_000)
    agreeing = draws[(draws[:, 0] > draws[:, 1:3].max(axis=1)) & (draws[:, 1:3].min(axis=1) > draws[:, 3])]
    assert len(agreeing) > 10_000
    # Means of more than 10,000 weights that spread by at most 0.2: standard error 0.002; five of them.
    assert rank_order_centroid([1, 2, 2, 3]) == pytest.approx(agreeing.mean(axis=0), abs=0.01)
