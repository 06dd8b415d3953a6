import numpy as np
import pytest

from geo_scout.model.season import RankingTable
from geo_scout.ranking.drawn_weights import draw_weights, weights_in_words

WEIGHTS = {"host": 0.5, "climate": 0.3, "access": 0.2, "slope": 0.0}
AVERAGE = {"host": 1 / 3, "climate": 1 / 3, "access": 1 / 3}


@pytest.mark.parametrize("how", ["around", "order", "free"])
def test_they_sum_to_one_and_nothing_stays_nothing(how):
    drawn = draw_weights(WEIGHTS, RankingTable(weights_drawn=how), 500)
    np.testing.assert_allclose(drawn.sum(axis=1), 1)
    assert (drawn[:, 3] == 0).all()
    assert (drawn[:, :3] > 0).all()


def test_around_the_given_ones_by_the_stated_spread():
    drawn = draw_weights(AVERAGE, RankingTable(weights_spread_share=0.08), 20_000)
    np.testing.assert_allclose(drawn.mean(axis=0), 1 / 3, atol=0.003)
    np.testing.assert_allclose(drawn.std(axis=0), 0.08, atol=0.002)


def test_never_wider_than_if_nothing_were_known():
    """With equal weights the widest spread is that of all sets being alike likely: sqrt(2 / 36)."""
    drawn = draw_weights(AVERAGE, RankingTable(weights_spread_share=0.25), 20_000)
    np.testing.assert_allclose(drawn.std(axis=0), np.sqrt(2 / 36), atol=0.004)


def test_the_order_is_kept_and_equals_are_free():
    drawn = draw_weights({"a": 0.4, "b": 0.4, "c": 0.2}, RankingTable(weights_drawn="order"), 4_000)
    assert (drawn[:, :2] >= drawn[:, 2:]).all()
    assert 0.45 < (drawn[:, 0] > drawn[:, 1]).mean() < 0.55


def test_one_criterion_has_it_all():
    assert (draw_weights({"a": 1.0, "b": 0.0}, RankingTable(), 3) == [1.0, 0.0]).all()
    assert "nothing to draw" in weights_in_words({"a": 1.0, "b": 0.0}, RankingTable())


def test_the_words_say_how():
    assert weights_in_words(AVERAGE, RankingTable()) == (
        "Weights: around the season's own (Dirichlet, kappa 87.9, by weights_spread_share 0.05): one of 0.33 "
        "lies between 0.25 and 0.42 in nine draws of ten."
    )
    assert "in the order" in weights_in_words(AVERAGE, RankingTable(weights_drawn="order"))
    assert "freely" in weights_in_words(AVERAGE, RankingTable(weights_drawn="free"))
