"""The scores of a season, from measures over curves and weights to the order, against pymcdm."""

import numpy as np
import pytest
from pymcdm.methods import TOPSIS, WPM, WSM
from pymcdm.normalizations import vector_normalization

from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking import best_first, score_sites


def as_it_is(column, cost=False):
    return column


LINE = {"shape": "rising", "from": 0.0, "to": 10.0}


def season(seed):
    """Return criteria and measures of 40 sites, with the values and weights they stand for."""
    generator = np.random.default_rng(seed)
    count = 3 + seed
    values, weights = generator.random((40, count)), generator.dirichlet(np.ones(count))
    criteria = {
        f"c{number}": Criterion.model_validate({"weight": 7 * weight, "curve": LINE})
        for number, weight in enumerate(weights.tolist())
    }
    measures = {name: CriterionValue.exact("", 10 * values[:, at]) for at, name in enumerate(criteria)}
    return criteria, measures, values, weights


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    ("method", "reference"),
    [
        ("weighted_sum", WSM(as_it_is)),
        ("weighted_product", WPM(as_it_is)),
        ("ideal_distance", TOPSIS(vector_normalization)),
    ],
)
def test_scores_and_order_are_those_of_pymcdm(method, reference, seed):
    """Ten times a value divided by ten is off by a unit of the sixteenth digit."""
    criteria, measures, values, weights = season(seed)
    found = score_sites(criteria, measures, method=method)
    expected = reference(values, weights, np.ones(len(weights)))
    np.testing.assert_allclose(found.score, expected, rtol=1e-12)
    ids = [f"A-{number:02}" for number in range(len(values))]
    assert best_first(found.score, ids) == [ids[row] for row in np.argsort(-expected)]


@pytest.mark.parametrize("seed", range(3))
def test_the_ideal_is_that_of_the_sites_that_may_be_ranked(seed):
    criteria, measures, values, weights = season(seed)
    among = np.random.default_rng(seed).random(len(values)) < 0.6
    found = score_sites(criteria, measures, method="ideal_distance", may_rank=among)
    reference = TOPSIS(vector_normalization)
    np.testing.assert_allclose(
        found.score[among], reference(values[among], weights, np.ones(len(weights))), rtol=1e-12
    )
    newcomer = int(np.flatnonzero(~among)[0])
    joined = np.vstack([values[among], values[newcomer]])
    assert found.score[newcomer] == pytest.approx(reference(joined, weights, np.ones(len(weights)))[-1])
