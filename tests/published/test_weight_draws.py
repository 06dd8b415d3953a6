"""Drawn weights against the moments and distributions that the literature gives.

With 200,000 draws the mean of a weight has a standard error of at most 0.0007 (the largest deviation below is 0.29), so
means are compared within 0.0035, five errors. Kolmogorov-Smirnov tests are taken at one in a thousand; seeds are fixed.
"""

import numpy as np
import pytest
from scipy.stats import beta, kstest

from geo_scout.formulas.weight_draws import (
    free_weights,
    kappa_for_spread,
    ordered_weights,
    weight_spread,
    weights_around,
)

DRAWS = 200_000
WITHIN = 0.0035
NAMES = ("host", "climate", "access", "slope")


def test_free_weights_have_the_margins_of_the_uniform_simplex():
    """Each weight of k is Beta(1, k - 1)."""
    for weight in free_weights(NAMES, 20_000, 3).T:
        assert kstest(weight, beta(1, 3).cdf).pvalue > 0.001


def test_free_weights_are_uniform_over_areas_not_only_in_their_margins():
    """Three weights: lines through the middles of the sides cut the triangle into four equal ones."""
    weights = free_weights(("a", "b", "c"), DRAWS, 5)
    corners = (weights > 0.5).mean(axis=0)
    np.testing.assert_allclose([*corners, (weights < 0.5).all(axis=1).mean()], 0.25, atol=WITHIN)


@pytest.mark.parametrize(
    ("names", "centroid"),
    [
        (NAMES[:2], [0.75, 0.25]),
        (NAMES[:3], [0.6111, 0.2778, 0.1111]),
        (NAMES, [0.5208, 0.2708, 0.1458, 0.0625]),
    ],
)
def test_the_mean_of_ordered_weights_is_the_rank_order_centroid(names, centroid):
    """Barron & Barrett 1996, the tables as in their 4-item example."""
    places = list(range(1, len(names) + 1))
    mean = ordered_weights(names, places, DRAWS, 11).mean(axis=0)
    np.testing.assert_allclose(mean, centroid, atol=WITHIN)


def test_ordered_weights_are_the_free_ones_that_happen_to_be_in_order():
    free = free_weights(("a", "b", "c"), DRAWS, 2)
    kept = free[(free[:, 0] >= free[:, 1]) & (free[:, 1] >= free[:, 2])]
    drawn = ordered_weights(("a", "b", "c"), [1, 2, 3], 30_000, 4)
    for one, other in zip(kept.T, drawn.T, strict=True):
        assert kstest(one, other).pvalue > 0.001


def test_criteria_of_one_place_are_in_no_order_among_themselves():
    """Two equals before a third: each has (11 + 5) / 36 on average, the third 1/9."""
    drawn = ordered_weights(("a", "b", "c"), [1, 2, 1], DRAWS, 9)
    np.testing.assert_allclose(drawn.mean(axis=0), [16 / 36, 1 / 9, 16 / 36], atol=WITHIN)
    assert abs((drawn[:, 0] > drawn[:, 2]).mean() - 0.5) < 0.006


@pytest.mark.parametrize("kappa", [0.5, 4.0, 30.0, 1_000.0])
def test_weights_around_are_dirichlet(kappa):
    given = np.array([0.5, 0.3, 0.15, 0.05])
    drawn = weights_around(NAMES, given, kappa, DRAWS, 1)
    np.testing.assert_allclose(drawn.mean(axis=0), given, atol=WITHIN)
    np.testing.assert_allclose(drawn.var(axis=0), given * (1 - given) / (kappa + 1), rtol=0.03)
    # Cov(w_i, w_j) = -w_i w_j / (kappa + 1).
    assert np.cov(drawn[:, 0], drawn[:, 1])[0, 1] == pytest.approx(-0.15 / (kappa + 1), rel=0.03)
    for weight, share in zip(drawn[:10_000].T, given, strict=True):
        assert kstest(weight, beta(kappa * share, kappa * (1 - share)).cdf).pvalue > 0.001


def test_the_spread_is_where_nine_draws_in_ten_lie():
    given = np.array([0.5, 0.3, 0.15, 0.05])
    drawn = weights_around(NAMES, given, 20, DRAWS, 8)
    deviation, low, high = weight_spread(given, 20)
    np.testing.assert_allclose(drawn.std(axis=0), deviation, rtol=0.01)
    # The standard error of the share inside is 0.0007.
    np.testing.assert_allclose(((drawn >= low) & (drawn <= high)).mean(axis=0), 0.9, atol=0.0035)


@pytest.mark.parametrize(
    ("kappa", "low", "high"), [(10, 0.10, 0.55), (30, 0.17, 0.44), (100, 0.23, 0.38), (300, 0.26, 0.34)]
)
def test_kappa_means_what_its_words_say(kappa, low, high):
    _, least, most = weight_spread([0.3, 0.7], kappa)
    assert (round(least[0], 2), round(most[0], 2)) == (low, high)
    deviation = weight_spread([0.3, 0.7], kappa)[0][0]
    assert kappa_for_spread(0.3, deviation) == pytest.approx(kappa)
