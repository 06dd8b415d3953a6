"""Ways to combine values against worked examples, pymcdm and scikit-criteria."""

import numpy as np
import pytest
import skcriteria
from pymcdm.methods import TOPSIS, WPM
from pymcdm.normalizations import vector_normalization
from skcriteria.agg.simple import WeightedProductModel, WeightedSumModel
from skcriteria.agg.topsis import TOPSIS as OTHER_TOPSIS
from skcriteria.preprocessing.scalers import VectorScaler

from geo_scout.formulas.combining import weighted_sum
from geo_scout.formulas.ideal_distance import ideal_closeness, ideal_closeness_interval
from geo_scout.formulas.ordered_average import order_weights, ordered_weighted_average, orness
from geo_scout.formulas.weighted_product import weighted_product


def random_table(seed):
    generator = np.random.default_rng(seed)
    criteria = 3 + seed
    return generator.random((40, criteria)), generator.dirichlet(np.ones(criteria))


def test_topsis_of_tzeng_and_huang():
    # Tzeng & Huang 2011, chapter 5: printed to four digits.
    matrix = [[5, 8, 4], [7, 6, 8], [8, 8, 6], [7, 4, 6]]
    closeness = ideal_closeness(matrix, [0.3, 0.4, 0.3])
    assert closeness == pytest.approx([0.5037, 0.6581, 0.7482, 0.3340], abs=5e-5)


@pytest.mark.parametrize("seed", range(5))
def test_topsis_of_pymcdm(seed):
    # The same sums in another order: a few units of the sixteenth digit.
    values, weights = random_table(seed)
    expected = TOPSIS(vector_normalization)(values, weights, np.ones(len(weights)))
    np.testing.assert_allclose(ideal_closeness(values, weights), expected, rtol=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_topsis_interval_is_pymcdm_with_one_row_at_its_highest(seed):
    low, weights = random_table(seed)
    generator = np.random.default_rng(seed + 100)
    is_open = generator.random(low.shape) < 0.2
    high = np.where(is_open, low + (1 - low) * generator.random(low.shape), low)
    method = TOPSIS(vector_normalization)
    lowest, highest = ideal_closeness_interval(low, high, weights)
    np.testing.assert_allclose(lowest, method(low, weights, np.ones(len(weights))), rtol=1e-12)
    for site in range(len(low)):
        table = low.copy()
        table[site] = high[site]
        assert highest[site] == pytest.approx(method(table, weights, np.ones(len(weights)))[site], rel=1e-10)
    assert (lowest[~is_open.any(axis=1)] == highest[~is_open.any(axis=1)]).all()


@pytest.mark.parametrize("seed", range(5))
def test_weighted_product_of_pymcdm(seed):
    values, weights = random_table(seed)
    method = WPM(normalization_function=lambda column, cost: column)  # noqa: ARG005 - values are 0-1 already
    expected = method(values, weights, np.ones(len(weights)))
    np.testing.assert_allclose(weighted_product(values, weights), expected, rtol=1e-12)


@pytest.mark.parametrize("seed", range(3))
def test_scikit_criteria(seed):
    values, weights = random_table(seed)
    table = skcriteria.mkdm(values, [max] * len(weights), weights=weights)
    closeness = OTHER_TOPSIS().evaluate(VectorScaler(target="matrix").transform(table))
    np.testing.assert_allclose(ideal_closeness(values, weights), closeness.e_.similarity, rtol=1e-12)
    total = WeightedSumModel().evaluate(table).e_.score
    np.testing.assert_allclose(weighted_sum(values, weights), total, rtol=1e-12)
    # It hands out the logarithm to the base of ten.
    product = 10 ** WeightedProductModel().evaluate(table).e_.score
    np.testing.assert_allclose(weighted_product(values, weights), product, rtol=1e-11)


def test_topsis_turns_the_order_of_two_sites_round_when_a_third_is_added():
    # The third is no better than the second in anything and last itself; pymcdm says the same.
    two, third, weights = [[0.7, 0.6], [0.9, 0.5]], [0.9, 0.0], [0.5, 0.5]
    before, after = ideal_closeness(two, weights), ideal_closeness([*two, third], weights)
    assert before[0] < before[1]
    assert after[0] > after[1] > after[2]
    method = TOPSIS(vector_normalization)
    np.testing.assert_allclose(before, method(np.array(two), np.array(weights), np.ones(2)), rtol=1e-12)
    np.testing.assert_allclose(
        after, method(np.array([*two, third]), np.array(weights), np.ones(2)), rtol=1e-12
    )
    # The weighted sum keeps 0.65 and 0.70 whoever else is there.
    assert weighted_sum([*two, third], weights) == pytest.approx([0.65, 0.70, 0.45])


def test_a_better_value_may_cost_a_place_in_topsis():
    values = np.array([[1.0, 0.0, 0.4], [0.3, 1.0, 0.8], [0.7, 1.0, 0.7], [0.9, 1.0, 0.6], [0.6, 0.6, 0.5]])
    better, weights = values.copy(), np.array([0.158, 0.42, 0.422])
    better[3, 0] = 1.0
    before, after = ideal_closeness(values, weights), ideal_closeness(better, weights)
    assert after[3] > before[3] > before[1]
    assert after[1] > after[3]
    method = TOPSIS(vector_normalization)
    np.testing.assert_allclose(before, method(values, weights, np.ones(3)), rtol=1e-12)
    np.testing.assert_allclose(after, method(better, weights, np.ones(3)), rtol=1e-12)


@pytest.mark.parametrize(
    ("alpha", "expected", "leaning"),
    [
        # (j / 4)^2 - ((j - 1) / 4)^2 = 1, 3, 5, 7 sixteenths; orness (3 + 6 + 5) / (3 x 16) = 14/48
        (2.0, [1 / 16, 3 / 16, 5 / 16, 7 / 16], 14 / 48),
        (1.0, [0.25, 0.25, 0.25, 0.25], 0.5),
        # roots of 1/4, 1/2, 3/4, 1; printed to four digits
        (0.5, [0.5, 0.2071, 0.1589, 0.1340], 0.6910),
    ],
)
def test_order_weights_and_orness(alpha, expected, leaning):
    weights = order_weights(4, alpha)
    assert weights == pytest.approx(expected, abs=5e-5)
    assert orness(weights) == pytest.approx(leaning, abs=5e-5)


@pytest.mark.parametrize("alpha", [0.3, 1.0, 2.5])
@pytest.mark.parametrize("seed", range(3))
def test_ordered_average_as_an_integral_over_levels(seed, alpha):
    # Another road to the same number: the Choquet integral, which adds up over levels t what the criteria
    # at or above t weigh together, to the power of alpha; exact between the levels of the values.
    values, weights = random_table(seed)
    for row, score in zip(values, ordered_weighted_average(values, weights, alpha), strict=True):
        levels = np.append(0.0, np.sort(row))
        above = [weights[row >= level].sum() for level in levels[1:]]
        assert score == pytest.approx(float(np.diff(levels) @ np.array(above) ** alpha), rel=1e-10)


@pytest.mark.parametrize("seed", range(3))
def test_ordered_average_with_equal_weights_is_the_sorted_values_times_order_weights(seed):
    values, _ = random_table(seed)
    count = values.shape[1]
    expected = -np.sort(-values, axis=1) @ order_weights(count, 1.7)
    scores = ordered_weighted_average(values, np.full(count, 1 / count), 1.7)
    np.testing.assert_allclose(scores, expected, rtol=1e-12)
