"""Pairwise comparison against Saaty's worked examples and pymcdm."""

import numpy as np
import pytest
from pymcdm.weights.subjective import AHP

from geo_scout.formulas.pairwise_comparison import most_inconsistent, pairwise_weights, reciprocal_matrix

# Drinks in the order coffee, wine, tea, beer, soda, milk, water (Saaty 2008, International Journal of
# Services Sciences 1: 83-98, relative consumption of drinks): upper rows, from the diagonal on.
DRINKS = [[9, 5, 2, 1, 1, 1 / 2], [1 / 3, 1 / 9, 1 / 9, 1 / 9, 1 / 9], [1 / 3, 1 / 4, 1 / 3, 1 / 9]]
DRINKS += [[1 / 2, 1, 1 / 3], [2, 1 / 2], [1 / 3]]
# Buying a house: size, transport, neighbourhood, age, yard, modern, condition, finance (Saaty 1990, European
# Journal of Operational Research 48: 9-26, and again Saaty 2003, there 145: 85-91). Judgements and results from
# memory; that all eight weights come out as printed says that the judgements are right.
HOUSE = [[5, 3, 7, 6, 6, 1 / 3, 1 / 4], [1 / 3, 5, 3, 3, 1 / 5, 1 / 7], [6, 3, 4, 6, 1 / 5]]
HOUSE += [[1 / 3, 1 / 4, 1 / 7, 1 / 8], [1 / 2, 1 / 5, 1 / 6], [1 / 5, 1 / 6], [1 / 2]]
# Random indices of pymcdm for 3 to 9 criteria (Tummala & Ling 1998), through which its ratio becomes an index.
PYMCDM_INDEX = dict(enumerate(AHP.RI_M, start=1))


def matrix_of(upper_rows):
    first, second = np.triu_indices(len(upper_rows) + 1, 1)
    return reciprocal_matrix(len(upper_rows) + 1, first, second, [a for row in upper_rows for a in row])


def random_judgements(seed, count):
    scale = np.append(1 / np.arange(2, 10), np.arange(1, 10))
    first, second = np.triu_indices(count, 1)
    return reciprocal_matrix(
        count, first, second, np.random.default_rng(seed).choice(scale, count * (count - 1) // 2)
    )


def multiplied_out(matrix):
    """Return the principal eigenvector by the oldest road, without an eigensolver."""
    weights = np.ones(len(matrix))
    for _ in range(100):
        weights = matrix @ weights
        weights = weights / weights.sum()
    return weights


def test_drinks():
    # Printed to three digits; here to four, as numpy's eigensolver gave them when the example was collected.
    found = pairwise_weights(matrix_of(DRINKS), "saaty_2005")
    assert found.weights == pytest.approx([0.1775, 0.0191, 0.0418, 0.1164, 0.1896, 0.1288, 0.3268], abs=5e-5)
    assert found.lambda_max == pytest.approx(7.1766, abs=5e-5)
    assert found.consistency_index == pytest.approx(0.02944, abs=1e-5)
    assert found.consistency_ratio == pytest.approx(0.0218, abs=5e-5)  # 0.02944 / 1.35
    assert pairwise_weights(matrix_of(DRINKS), "saaty_1980").consistency_ratio == pytest.approx(
        0.0223, abs=5e-5
    )  # 0.02944 / 1.32


def test_house():
    found = pairwise_weights(matrix_of(HOUSE))
    expected = [0.173, 0.054, 0.188, 0.018, 0.031, 0.036, 0.167, 0.333]  # printed to three digits
    assert found.weights == pytest.approx(expected, abs=5e-4)
    assert found.lambda_max == pytest.approx(9.669, abs=5e-4)
    assert found.consistency_ratio == pytest.approx(0.169, abs=5e-4)


def test_house_mended():
    # Saaty 2003: the neighbourhood against the condition, 6 where the weights say 6 / 5.32, changed to 1/2;
    # then 8.811 and 0.083, cut or rounded as printed, hence a whole unit of the last digit.
    matrix = matrix_of(HOUSE)
    found = most_inconsistent(matrix)
    assert (found.first, found.second, found.judged, found.equally_far) == (2, 6, 6.0, 1)
    assert found.error_factor == pytest.approx(5.32, abs=5e-3)
    assert found.mended_on_scale == 0.5
    matrix[2, 6], matrix[6, 2] = 1 / 2, 2
    assert pairwise_weights(matrix).lambda_max == pytest.approx(8.811, abs=1e-3)
    assert found.ratio_after == pytest.approx(0.083, abs=1e-3)


@pytest.mark.parametrize(
    ("table", "printed"),
    [
        # Saaty 1980; 9 and 10 criteria from memory
        ("saaty_1980", [0, 0, 0.58, 0.90, 1.12, 1.24, 1.32, 1.41, 1.45, 1.49]),
        # Saaty 2005
        ("saaty_2005", [0, 0, 0.52, 0.89, 1.11, 1.25, 1.35, 1.40, 1.45, 1.49, 1.52, 1.54, 1.56, 1.58, 1.59]),
    ],
)
def test_random_indices(table, printed):
    found = [pairwise_weights(np.ones((n, n)), table).random_index for n in range(1, len(printed) + 1)]
    assert found == printed
    with pytest.raises(ValueError, match=f"reaches to {len(printed)} criteria"):
        pairwise_weights(np.ones((len(printed) + 1, len(printed) + 1)), table)


@pytest.mark.parametrize("count", range(3, 10))
@pytest.mark.parametrize("seed", range(3))
def test_pymcdm(seed, count):
    # Both solve for the same eigenvector; 1e-9 is far above the rounding of either.
    matrix = random_judgements(seed, count)
    other = AHP(matrix=matrix)
    found = pairwise_weights(matrix)
    assert found.weights == pytest.approx(other(), rel=1e-9)
    assert found.consistency_index == pytest.approx(other.get_cr() * PYMCDM_INDEX[count], rel=1e-7)


@pytest.mark.parametrize("seed", range(5))
def test_multiplying_until_nothing_changes(seed):
    matrix = random_judgements(seed, 6)
    assert pairwise_weights(matrix).weights == pytest.approx(multiplied_out(matrix), rel=1e-10)


@pytest.mark.parametrize("seed", range(6))
def test_mended_value_is_where_replacing_by_the_ratio_of_weights_ends(seed):
    # Another road: put the ratio of the weights in place of the judgement again and again.
    matrix = random_judgements(seed, 5)
    found = most_inconsistent(matrix)
    row, column = found.first, found.second
    for _ in range(200):
        weights = multiplied_out(matrix)
        matrix[row, column], matrix[column, row] = (
            weights[row] / weights[column],
            weights[column] / weights[row],
        )
    assert found.mended == pytest.approx(matrix[row, column], rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_ratio_after_mending_is_that_of_pymcdm(seed):
    matrix = random_judgements(seed, 5)
    found = most_inconsistent(matrix)
    scale = [1 / 9, 1 / 8, 1 / 7, 1 / 6, 1 / 5, 1 / 4, 1 / 3, 1 / 2, *range(1, 10)]
    assert found.mended_on_scale == min(scale, key=lambda value: abs(np.log(value / found.mended)))
    matrix[found.first, found.second] = found.mended_on_scale
    matrix[found.second, found.first] = 1 / found.mended_on_scale
    index = AHP(matrix=matrix).get_cr() * PYMCDM_INDEX[5]
    assert found.ratio_after == pytest.approx(index / 1.12, rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_most_inconsistent_is_the_largest_error_of_all(seed):
    matrix = random_judgements(seed, 6)
    weights = AHP(matrix=matrix)()
    found = most_inconsistent(matrix)
    errors = {}
    for row in range(6):
        for column in range(row + 1, 6):
            error = matrix[row, column] * weights[column] / weights[row]
            errors[row, column] = max(error, 1 / error)
    assert (found.first, found.second) == max(errors, key=errors.get)
    assert found.error_factor == pytest.approx(max(errors.values()), rel=1e-9)
