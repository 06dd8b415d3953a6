"""Weights, points, scores and ranks by hand."""

import numpy as np
import pytest

from geo_scout.formulas.combining import normalise_weights, points, rank_by_score, score_integer, weighted_sum


def test_weights_sum_to_one_whatever_their_size():
    assert normalise_weights([2, 1, 1]).tolist() == [0.5, 0.25, 0.25]
    assert normalise_weights([1e308, 1e308]).tolist() == [0.5, 0.5]
    assert normalise_weights([5e-324]).tolist() == [1.0]


@pytest.mark.parametrize(
    ("weights", "message"),
    [
        ([0, 0], "all weights are 0"),
        ([1, -0.5], "weight 2 is -0.5"),
        ([np.nan, 1], "weight 1 is nan"),
        ([1, np.inf], "weight 2 is inf"),
        ([], "no weights"),
    ],
)
def test_weights_that_mean_nothing_are_refused(weights, message):
    with pytest.raises(ValueError, match=message):
        normalise_weights(weights)


def test_points_add_up_to_the_score():
    values = [[1.0, 0.5, 0.2], [0.0, 1.0, 1.0]]
    weights = [0.5, 0.3, 0.2]
    assert points(values, weights) == pytest.approx(np.array([[0.5, 0.15, 0.04], [0.0, 0.3, 0.2]]))
    assert weighted_sum(values, weights) == pytest.approx([0.69, 0.5])


def test_a_missing_value_counts_only_with_a_weight():
    values = [[np.nan, 0.5], [0.5, np.nan]]
    assert np.isnan(weighted_sum(values, [0.5, 0.5])).all()
    scores = weighted_sum(values, [0.0, 1.0])
    assert scores[0] == 0.5
    assert np.isnan(scores[1])
    assert points(values, [0.0, 1.0])[:, 0].tolist() == [0.0, 0.0]


def test_no_sites_and_shapes_that_do_not_fit():
    assert weighted_sum(np.zeros((0, 2)), [0.5, 0.5]).shape == (0,)
    assert points(np.zeros((0, 2)), [0.5, 0.5]).shape == (0, 2)
    assert score_integer([]).shape == (0,)
    assert rank_by_score([], []).shape == (0,)
    with pytest.raises(ValueError, match=r"\(2, 3\) do not go with weights of shape \(2,\)"):
        weighted_sum(np.zeros((2, 3)), [0.5, 0.5])


def test_score_integer_rounds_halves_up():
    assert score_integer([0.0, 1.0, 0.0000005, 0.00000049, 0.1234564]).tolist() == [
        0,
        1_000_000,
        1,
        0,
        123_456,
    ]
    with pytest.raises(ValueError, match="not a finite number"):
        score_integer([0.5, np.nan])


def test_scores_equal_to_a_millionth_are_ordered_by_site_id_code_point_by_code_point():
    ids = ["site-b", "site-B", "site-10", "site-9", "é", "z"]
    ranks = rank_by_score([0.5, 0.5 + 1e-8, 0.5 - 1e-8, 0.5, 0.5, 0.9], ids)
    ordered = [ids[position] for position in np.argsort(ranks)]
    assert ordered == ["z", "site-10", "site-9", "site-B", "site-b", "é"]
    assert sorted(ranks.tolist()) == [1, 2, 3, 4, 5, 6]


def test_ranks_need_one_name_per_site():
    with pytest.raises(ValueError, match="site_id 'b' occurs twice"):
        rank_by_score([0.1, 0.2, 0.3], ["a", "b", "b"])
    with pytest.raises(ValueError, match=r"shorter|longer"):
        rank_by_score([0.1, 0.2], ["a"])
