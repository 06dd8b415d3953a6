"""Weights by order of importance and in groups."""

import numpy as np
import pytest

from geo_scout.formulas.weights import grouped_weights, rank_order_centroid


def test_order_stands_wherever_the_criterion_stands():
    # 11/18, 5/18 and 2/18 for the first, second and third of three
    assert rank_order_centroid([3, 1, 2]) == pytest.approx([2 / 18, 11 / 18, 5 / 18])


def test_ties_share_the_mean_of_their_places():
    # of four, 25/48 13/48 7/48 3/48: the middle two share 10/48 each
    assert rank_order_centroid([1, 2, 2, 3]) == pytest.approx([25 / 48, 10 / 48, 10 / 48, 3 / 48])
    assert rank_order_centroid([10, 20, 20, 99]) == pytest.approx([25 / 48, 10 / 48, 10 / 48, 3 / 48])
    assert rank_order_centroid([1, 1, 1]) == pytest.approx([1 / 3, 1 / 3, 1 / 3])


@pytest.mark.parametrize("places", [[], [1.0, np.nan], [[1, 2]]])
def test_an_order_that_is_none_is_refused(places):
    with pytest.raises(ValueError, match="one finite place for each criterion"):
        rank_order_centroid(places)


def test_groups_multiply():
    # host 2/4, climate 1/4, access 1/4; inside the host 3:1, access 1:1
    weights = grouped_weights([0, 0, 1, 2, 2], [2, 1, 1], [3, 1, 7, 5, 5])
    assert weights == pytest.approx([3 / 8, 1 / 8, 1 / 4, 1 / 8, 1 / 8])


def test_one_more_criterion_in_a_group_takes_nothing_from_other_groups():
    before = grouped_weights([0, 1], [1, 1], [1, 1])
    after = grouped_weights([0, 1, 1], [1, 1], [1, 1, 1])
    assert before[0] == after[0] == 0.5


@pytest.mark.parametrize(
    ("group", "between", "inside", "message"),
    [
        ([0, 1], [1, 1], [1], "1 weights inside groups do not go with the groups of 2 criteria"),
        ([0, 2], [1, 1], [1, 1], "numbered 0 to 1"),
        ([0, -1], [1, 1], [1, 1], "numbered 0 to 1"),
        ([0, 0], [1, 1], [1, 1], "group 1 has no criterion"),
        ([0, 1], [1, 1], [1, 0], "all weights are 0"),
        ([0, 1], [1, -1], [1, 1], "weight 2 is -1"),
    ],
)
def test_groups_that_do_not_hold_together_are_refused(group, between, inside, message):
    with pytest.raises(ValueError, match=message):
        grouped_weights(group, between, inside)
