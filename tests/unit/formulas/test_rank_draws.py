import numpy as np
import pytest

import geo_scout.formulas.rank_draws as drawing
from geo_scout.formulas.combining import rank_by_score, weighted_sum
from geo_scout.formulas.rank_draws import SORTED_WHOLE, rank_draws

VALUES = np.array([[1.0, 0.0], [0.0, 1.0], [0.6, 0.6]])
WEIGHTS = np.array([[0.9, 0.1], [0.5, 0.5], [0.1, 0.9]])


def test_three_sites_by_hand():
    """Scores 0.9 0.1 0.6, then 0.5 0.5 0.6, then 0.1 0.9 0.6; the tie goes to the earlier row."""
    found = rank_draws(VALUES, WEIGHTS, followed=[1, 0])
    assert found.leaders.tolist() == [[0, 2, 1], [2, 0, 1], [1, 2, 0]]
    assert found.followed_rank.tolist() == [[3, 1], [3, 2], [1, 3]]
    assert found.eligible_draws.tolist() == [3, 3, 3]
    assert (found.draws, found.sites) == (3, 3)


def test_ties_go_by_the_order_given():
    assert rank_draws(VALUES, WEIGHTS, tie_order=[20, 10, 30]).leaders[1].tolist() == [2, 1, 0]


def test_scores_are_equal_within_a_millionth_as_everywhere():
    values = [[0.5], [0.5000004], [0.5000006]]
    assert rank_draws(values, [[1.0]]).leaders.tolist() == [[2, 0, 1]]


@pytest.mark.parametrize("sites", [50, SORTED_WHOLE + 50])
def test_one_draw_is_the_rank_that_the_lists_print(sites):
    values = np.random.default_rng(1).integers(0, 5, (sites, 3)) / 4
    names = [f"site {n:05}" for n in range(sites)]
    found = rank_draws(values, [[0.5, 0.3, 0.2]], deepest=sites, followed=np.arange(sites))
    expected = rank_by_score(weighted_sum(values, [0.5, 0.3, 0.2]), names)
    assert found.followed_rank[0].tolist() == expected.tolist()
    assert expected[found.leaders[0]].tolist() == list(range(1, sites + 1))


@pytest.mark.parametrize("sites", [3, SORTED_WHOLE + 3])
def test_who_may_not_be_used_has_no_rank_and_moves_nobody_down(sites):
    values = np.zeros((sites, 2))
    values[-3:] = VALUES
    eligible = np.zeros(sites, dtype=bool)
    eligible[[-3, -1]] = True
    found = rank_draws(values, WEIGHTS, deepest=3, followed=[sites - 2, sites - 1], eligible=eligible)
    first, last = sites - 3, sites - 1
    assert found.leaders.tolist() == [[first, last, -1], [last, first, -1], [last, first, -1]]
    assert found.followed_rank.tolist() == [[0, 2], [0, 1], [0, 1]]
    assert found.eligible_draws[-3:].tolist() == [3, 0, 3]


@pytest.mark.parametrize("sites", [30, SORTED_WHOLE + 30])
def test_nobody_may_be_used(sites):
    found = rank_draws(
        np.full((sites, 2), 0.5), WEIGHTS, deepest=2, followed=[0], eligible=np.zeros(sites, dtype=bool)
    )
    assert found.leaders.tolist() == [[-1, -1]] * 3
    assert found.followed_rank.tolist() == [[0]] * 3


@pytest.mark.parametrize("sites", [3, SORTED_WHOLE + 3])
def test_full_scores_and_empty_ones_have_their_place(sites):
    values = np.zeros((sites, 2))
    values[1] = 1
    found = rank_draws(values, WEIGHTS, deepest=2, followed=[1, sites - 1])
    assert found.leaders.tolist() == [[1, 0]] * 3
    assert found.followed_rank.tolist() == [[1, sites]] * 3


@pytest.mark.parametrize("above", [True, False])
def test_equal_scores_on_both_sides_of_a_class_are_equal(above):
    """0.5 +- 1e-7 are both 500,000 millionths, in two classes; all other sites are far above, or far below."""
    sites = SORTED_WHOLE + 50
    values = np.full((sites, 1), 0.9 if above else 0.1)
    values[[10, 20, 30]] = [[0.5 + 1e-7], [0.5 - 1e-7], [0.5 + 1e-7]]
    before = sites - 3 if above else 0
    # One at a time: the one asked for must not depend on the others being looked at.
    for place, site in enumerate([30, 20, 10], 1):
        found = rank_draws(values, [[1.0]], deepest=1, followed=[site], tie_order=np.arange(sites)[::-1])
        assert found.followed_rank.tolist() == [[before + place]]
    if not above:
        tie_order = np.arange(sites)
        tie_order[[0, 20]] = [20, 0]
        assert rank_draws(values, [[1.0]], deepest=1, tie_order=tie_order).leaders.tolist() == [[20]]


@pytest.mark.parametrize("draws_at_once", [1, 70])
@pytest.mark.parametrize("sites", [40, SORTED_WHOLE + 40])
def test_small_chunks_find_the_same(sites, draws_at_once, monkeypatch):
    random, draws = np.random.default_rng(2), 30
    drawn, eligible = random.random((draws, sites, 2)), random.random((draws, sites)) < 0.5
    weights = random.dirichlet([1, 1], draws)

    def find():
        fixed = rank_draws(drawn[0], weights, deepest=5, followed=[3], eligible=lambda a, b: eligible[a:b])
        varied = rank_draws(lambda a, b: drawn[a:b], weights, deepest=5, followed=[3], eligible=eligible[0])
        return [
            fixed.leaders,
            fixed.followed_rank,
            fixed.eligible_draws,
            varied.leaders,
            varied.followed_rank,
        ]

    whole = find()
    monkeypatch.setattr(drawing, "MOST_BYTES", 4 * 4 * draws_at_once * sites)
    for one, other in zip(whole, find(), strict=True):
        np.testing.assert_array_equal(one, other)


def test_each_draw_of_values_is_asked_for_once():
    asked = []

    def values(first, last):
        asked.extend(range(first, last))
        return np.broadcast_to(VALUES, (last - first, 3, 2))

    rank_draws(values, np.tile(WEIGHTS, (40, 1)))
    assert asked == list(range(120))


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"values": [[np.nan, 1.0]]}, "missing or outside 0-1"),
        ({"values": [[1.5, 1.0]]}, "missing or outside 0-1"),
        ({"values": [[1.0]]}, "do not go with draws"),
        ({"values": lambda *_: VALUES}, "do not go with draws"),
        ({"weights": [[0.5, 0.4]]}, "do not sum to 1"),
        ({"weights": [[1.5, -0.5]]}, "negative"),
        ({"weights": [0.5, 0.5]}, "not draws by criteria"),
        ({"weights": np.zeros((0, 2))}, "not draws by criteria"),
        ({"followed": [3]}, "outside the 3 sites"),
        ({"followed": [-1]}, "outside the 3 sites"),
        ({"deepest": 0}, "a rank below 1"),
        ({"tie_order": [1, 1, 2]}, "not all different"),
        ({"tie_order": [1, 2]}, "not all different"),
        ({"eligible": [True, False]}, "eligibility of shape"),
    ],
)
def test_what_does_not_go_together_is_refused(changes, message):
    case = {"values": VALUES, "weights": WEIGHTS} | changes
    with pytest.raises(ValueError, match=message):
        rank_draws(**case)


@pytest.mark.parametrize("sites", [5, SORTED_WHOLE + 5])
def test_scores_can_be_made_another_way(sites):
    values = np.random.default_rng(2).random((sites, 2))
    weights = np.array([[0.5, 0.5], [0.9, 0.1]])

    def worst(tables, weights, usable):
        assert usable is None or usable.shape == (len(weights), sites)
        return np.broadcast_to(tables.min(axis=2), (len(weights), sites))

    found = rank_draws(values, weights, deepest=3, combine=worst)
    expected = np.argsort(-np.floor(values.min(axis=1) * 1e6 + 0.5), kind="stable")[:3]
    assert found.leaders.tolist() == [expected.tolist()] * 2
    usable = np.ones(sites, dtype=bool)
    usable[expected[0]] = False
    assert rank_draws(values, weights, deepest=1, combine=worst, eligible=usable).leaders[0, 0] == expected[1]
