"""Scores of many draws at once are those of each draw alone."""

import numpy as np
import pytest

from geo_scout.formulas.drawn_scores import (
    extreme_values,
    ideal_closenesses,
    ordered_averages,
    weighted_products,
)
from geo_scout.formulas.ideal_distance import ideal_closeness
from geo_scout.formulas.ordered_average import ordered_weighted_average
from geo_scout.formulas.weighted_product import weighted_product

DRAWS, SITES, CRITERIA = 5, 7, 4
BESIDE = np.array([[0.1, 1.0, 0.4, 0.0], [0.9, 0.2, 0.0, 0.3]])


@pytest.fixture(params=[1, DRAWS], ids=["one table", "a table each"])
def drawn(request):
    random = np.random.default_rng(3)
    tables = random.random((request.param, SITES, CRITERIA)).round(2)
    tables[:, 0, 1] = 0.0
    weights = random.dirichlet(np.ones(CRITERIA), DRAWS)
    weights[:, 2] = 0.0
    return tables, weights / weights.sum(axis=1, keepdims=True)


def one_by_one(tables, weights, score):
    return np.array([score(tables[draw % len(tables)], weights[draw]) for draw in range(DRAWS)])


def test_products(drawn):
    np.testing.assert_array_equal(weighted_products(*drawn), one_by_one(*drawn, weighted_product))


@pytest.mark.parametrize("alpha", [0.3, 1.0, 4.0])
def test_ordered_averages(drawn, alpha):
    alone = one_by_one(*drawn, lambda values, weights: ordered_weighted_average(values, weights, alpha))
    np.testing.assert_allclose(ordered_averages(*drawn, alpha), alone, rtol=1e-12)


def test_extremes_of_what_counts(drawn):
    tables, weights = drawn
    counted = weights[0] > 0
    for is_best, extreme in ((True, np.max), (False, np.min)):
        alone = one_by_one(tables, weights, lambda values, _, f=extreme: f(values[:, counted], axis=1))
        np.testing.assert_array_equal(extreme_values(tables, weights, is_best=is_best), alone)


def test_each_draw_has_an_ideal_of_its_own(drawn):
    tables, weights = drawn
    usable = np.random.default_rng(1).random((DRAWS, SITES)) < 0.6
    usable[0] = True
    found = ideal_closenesses(tables, weights, usable, BESIDE)
    for draw in range(DRAWS):
        listed = np.concatenate([tables[draw % len(tables)][usable[draw]], BESIDE])
        alone = ideal_closeness(listed, weights[draw])[: usable[draw].sum()]
        np.testing.assert_allclose(found[draw, usable[draw]], alone, rtol=1e-12)
    everybody = ideal_closenesses(tables, weights, None, np.empty((0, CRITERIA)))
    np.testing.assert_allclose(everybody, one_by_one(tables, weights, ideal_closeness), rtol=1e-12)


def test_draws_without_anybody_end_well():
    usable = np.zeros((1, 2), dtype=bool)
    found = ideal_closenesses(np.full((1, 2, 1), 0.5), np.ones((1, 1)), usable, np.empty((0, 1)))
    assert found.shape == (1, 2)
