import numpy as np
import pytest

from geo_scout.formulas.rank_acceptability import (
    beats_next,
    central_weights,
    confidence,
    followed_intervals,
    leader_intervals,
    rank_shares,
    top_share,
)
from geo_scout.formulas.rank_draws import rank_draws

VALUES = np.array([[1.0, 0.0], [0.0, 1.0], [0.6, 0.6]])
# Orders 0 2 1, 2 0 1, 1 2 0, 0 2 1.
WEIGHTS = np.array([[0.9, 0.1], [0.5, 0.5], [0.1, 0.9], [0.7, 0.3]])


@pytest.fixture
def found():
    return rank_draws(VALUES, WEIGHTS, followed=[0, 2, 1])


def test_shares_by_hand(found):
    assert top_share(found, [1, 2, 3]).tolist() == [[0.5, 0.75, 1], [0.25, 0.25, 1], [0.25, 1, 1]]
    assert rank_shares(found, [2, 0, 2]).tolist() == [[0.25, 0.75, 0], [0.5, 0.25, 0.25], [0.25, 0.75, 0]]


def test_a_list_longer_than_the_sites_holds_all(found):
    assert top_share(found, [10]).tolist() == [[1]] * 3


def test_ranks_that_were_not_counted_cannot_be_asked_for():
    short = rank_draws(VALUES, WEIGHTS, deepest=2)
    for call in (lambda: top_share(short, [3]), lambda: top_share(short, [0])):
        with pytest.raises(ValueError, match="ranks were counted from 1 to 2"):
            call()
    with pytest.raises(ValueError, match="counted from 1 to 2"):
        central_weights(short, WEIGHTS, [0], top=3)


def test_intervals_by_hand(found):
    spans = leader_intervals(found)
    assert (spans.least.tolist(), spans.greatest.tolist()) == ([1, 1, 1], [3, 3, 2])
    # Of four ranks the first is the least that 5 % reach, and the fourth that which 95 % do not pass.
    assert (spans.low.tolist(), spans.high.tolist()) == ([1, 1, 1], [3, 3, 2])
    own = followed_intervals(found)
    assert own.rows.tolist() == [0, 2, 1]
    assert own.greatest.tolist() == [3, 2, 3]


def test_one_draw_in_twenty_is_outside_the_interval():
    weights = np.repeat([[0.9, 0.1], [0.1, 0.9]], [19, 1], axis=0)
    spans = leader_intervals(rank_draws(VALUES, weights))
    assert (spans.low[0], spans.high[0], spans.greatest[0]) == (1, 1, 3)
    # Site 1 is first once in twenty: the 5 % point is that one draw.
    assert (spans.low[1], spans.high[1]) == (1, 3)


def test_seven_of_a_hundred_and_forty_are_five_per_cent():
    weights = np.repeat([[0.9, 0.1], [0.1, 0.9]], [7, 133], axis=0)
    for spans in (
        leader_intervals(rank_draws(VALUES, weights)),
        followed_intervals(rank_draws(VALUES, weights, followed=[0])),
    ):
        assert (spans.low[0], spans.high[0]) == (1, 3)


def test_beyond_the_ranks_counted_is_one_more():
    spans = leader_intervals(rank_draws(VALUES, WEIGHTS, deepest=1))
    assert spans.greatest.tolist() == [2, 2, 2]
    never_first = leader_intervals(rank_draws(VALUES, WEIGHTS[:1], deepest=1))
    assert never_first.rows.tolist() == [0]


def test_central_weights_by_hand(found):
    expected = [[0.8, 0.2], [0.1, 0.9], [0.5, 0.5]]
    np.testing.assert_allclose(central_weights(found, WEIGHTS, [0, 1, 2]), expected)
    # Among the first two in draws 1, 2 and 4.
    np.testing.assert_allclose(central_weights(found, WEIGHTS, [0], top=2), [[0.7, 0.3]])


def test_confidence_without_anything_to_draw_is_yes_or_no(found):
    central = central_weights(found, WEIGHTS, [0, 1, 2])
    assert confidence(VALUES, central, [0, 1, 2], 1).tolist() == [1, 1, 1]
    assert confidence(VALUES, [[0.5, 0.5]], [0], 1).tolist() == [0]
    assert confidence(VALUES, [[0.5, 0.5]], [0], 1, top=2).tolist() == [1]
    assert (
        confidence(VALUES, [[0.8, 0.2]], [0], 4, eligible=lambda a, b: np.eye(4, 3, dtype=bool)[a:b])[0]
        == 0.25
    )


def test_who_beats_the_next_by_hand(found):
    share, decided = beats_next(found)
    assert share.tolist() == [0.5, 0.75]
    assert decided.tolist() == [4, 4]


def test_who_is_out_loses_and_two_out_decide_nothing():
    out = np.array([[0, 1, 1], [0, 1, 0], [1, 0, 1], [0, 1, 0]], dtype=bool)
    share, decided = beats_next(rank_draws(VALUES, WEIGHTS, followed=[0, 2], eligible=lambda a, b: out[a:b]))
    assert (share.tolist(), decided.tolist()) == ([0.0], [2])
    nobody = rank_draws(VALUES, WEIGHTS, followed=[0, 2], eligible=np.zeros(3, dtype=bool))
    assert np.isnan(beats_next(nobody)[0]).all()
    assert followed_intervals(nobody).greatest.tolist() == [0, 0]
    assert len(leader_intervals(nobody).rows) == 0
