"""Judgements in pairs: what agrees, what does not, what is refused."""

import numpy as np
import pytest

from geo_scout.formulas.pairwise_comparison import most_inconsistent, pairwise_weights, reciprocal_matrix


def agreeing(weights):
    return np.array(weights)[:, None] / np.array(weights)[None, :]


def test_judgements_that_agree_give_back_the_weights_they_came_from():
    found = pairwise_weights(agreeing([0.5, 0.3, 0.15, 0.05]))
    assert found.weights == pytest.approx([0.5, 0.3, 0.15, 0.05])
    assert found.lambda_max == pytest.approx(4.0)
    assert found.consistency_ratio == pytest.approx(0.0, abs=1e-12)
    assert found.consistency_ratio >= 0
    assert most_inconsistent(agreeing([0.5, 0.3, 0.15, 0.05])) is None


@pytest.mark.parametrize("matrix", [[[1.0]], [[1.0, 4.0], [0.25, 1.0]]])
def test_one_or_two_criteria_cannot_disagree(matrix):
    found = pairwise_weights(matrix)
    assert found.weights == pytest.approx([1.0] if len(matrix) == 1 else [0.8, 0.2])
    assert (found.consistency_index, found.consistency_ratio) == (0.0, 0.0)
    assert most_inconsistent(matrix) is None


def test_of_three_criteria_all_judgements_are_equally_far():
    # a over b 2, b over c 2, a over c 1: by symmetry of the cycle each is off by the same factor, the
    # third root of 2 x 2 / 1 = 1.5874
    found = most_inconsistent([[1, 2, 1], [1 / 2, 1, 2], [1, 1 / 2, 1]])
    assert (found.first, found.second, found.equally_far) == (0, 1, 3)
    assert found.error_factor == pytest.approx(4 ** (1 / 3))
    assert found.mended == pytest.approx(0.5)  # what a = c and b = 2 c say


def test_one_judgement_spoilt_is_found_and_mended():
    # weights 8, 4, 2, 1; the first over the last should be 8 and was said to be 1/8
    matrix = agreeing([8.0, 4.0, 2.0, 1.0])
    matrix[0, 3], matrix[3, 0] = 1 / 8, 8
    found = most_inconsistent(matrix)
    assert (found.first, found.second, found.judged, found.mended_on_scale) == (0, 3, 0.125, 8.0)
    assert found.mended == pytest.approx(8.0)
    assert pairwise_weights(matrix).consistency_ratio > 0.5
    assert found.ratio_after == pytest.approx(0.0, abs=1e-12)


def test_the_same_pairs_given_either_way_make_the_same_matrix():
    one = reciprocal_matrix(3, [0, 0, 1], [1, 2, 2], [3, 5, 2])
    other = reciprocal_matrix(3, [2, 1, 2], [1, 0, 0], [1 / 2, 1 / 3, 1 / 5])
    assert one == pytest.approx(other)
    assert one.tolist() == [[1, 3, 5], [1 / 3, 1, 2], [1 / 5, 1 / 2, 1]]


@pytest.mark.parametrize(
    ("first", "second", "judged", "message"),
    [
        ([0, 0], [1, 2], [3, 5], "criteria 1 and 2 are not compared"),
        ([0, 1], [1, 0], [3, 5], "criteria 1 and 0 comes twice"),
        ([0, 1], [1, 1], [3, 5], "criteria 1 and 1 comes twice or is not of two"),
        ([0, 1], [1, 3], [3, 5], "criteria 1 and 3"),
        ([0], [1], [0], "finite number above 0"),
        ([0], [1], [np.inf], "finite number above 0"),
    ],
)
def test_judgements_that_make_no_matrix_are_refused(first, second, judged, message):
    with pytest.raises(ValueError, match=message):
        reciprocal_matrix(3, first, second, judged)


@pytest.mark.parametrize(
    ("matrix", "table", "message"),
    [
        ([[1, 2]], "saaty_1980", "make a square"),
        ([[1, 0], [0, 1]], "saaty_1980", "finite number above 0"),
        ([[1, 2], [2, 1]], "saaty_1980", "row 0, column 1 is 2"),
        ([[2, 1], [1, 1]], "saaty_1980", "row 0, column 0 is 2"),
        (
            [[1, 1], [1, 1]],
            "saaty",
            "no table 'saaty' of random indices; the tables are saaty_1980, saaty_2005",
        ),
        (np.ones((11, 11)), "saaty_1980", "reaches to 10 criteria, not 11; use groups"),
    ],
)
def test_a_matrix_that_is_none_is_refused(matrix, table, message):
    with pytest.raises(ValueError, match=message):
        pairwise_weights(matrix, table)


def test_the_longer_table():
    assert pairwise_weights(np.ones((15, 15)), "saaty_2005").random_index == 1.59
