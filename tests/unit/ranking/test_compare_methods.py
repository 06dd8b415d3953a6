import numpy as np
import pytest

from geo_scout.model.criteria import Curve, HostArea, HostCover
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking import compare_methods, score_sites

LINE = Curve.model_validate({"shape": "rising", "from": 0, "to": 1})
CRITERIA = {"host_area": HostArea(weight=1, curve=LINE), "host_cover": HostCover(weight=1, curve=LINE)}
# B is even, A is lopsided, C is poor in both; D is left out.
AREA, COVER, IDS = [1.0, 0.45, 0.1, 1.0], [0.0, 0.45, 0.1, 1.0], ["A", "B", "C", "D"]


def scored(**more):
    measures = {
        name: CriterionValue.exact("", np.array(values))
        for name, values in (("host_area", AREA), ("host_cover", COVER))
    }
    among = np.array([True, True, True, False])
    return score_sites(CRITERIA, measures, may_rank=among, **more)


def test_ranks_by_every_method_by_hand():
    """A: sum 0.5, product 0, worst 0, best 1. B: 0.45 by all. The ordered average at 0.25: A 1/8, B 0.45."""
    found = compare_methods(scored(), IDS, ["A", "B", "C"], top_n=1)
    assert found.ranks["site_id"].tolist() == ["A", "B", "C"]
    assert found.ranks["weighted_sum_rank"].tolist() == [1, 2, 3]
    assert found.ranks["weighted_product_rank"].tolist() == [3, 1, 2]
    assert found.ranks["ordered_average_0_25_rank"].tolist() == [2, 1, 3]
    assert found.ranks["ordered_average_0_75_rank"].tolist() == [1, 2, 3]
    assert found.ranks["best_rank"].tolist() == [1, 1, 2]
    assert found.ranks["worst_rank"].tolist() == [3, 2, 3]
    assert found.ranks["rank_span"].tolist() == [2, 1, 1]


def test_who_enters_and_leaves_and_how_far_the_orders_agree():
    by = {order.column: order for order in compare_methods(scored(), IDS, ["A", "B", "C"], top_n=1).orders}
    assert (by["weighted_product_rank"].enters, by["weighted_product_rank"].leaves) == (("B",), ("A",))
    # A B C against B C A: one pair in order, two not.
    assert by["weighted_product_rank"].tau_b == pytest.approx(-1 / 3)
    assert (by["weighted_sum_rank"].is_own, by["weighted_sum_rank"].tau_b) == (True, 1.0)
    assert by["ordered_average_0_75_rank"].enters == by["ordered_average_0_75_rank"].leaves == ()


def test_the_seasons_own_attitude_stands_first_and_beside_the_two():
    found = compare_methods(scored(method="ordered_average", attitude=0.1), IDS, ["B", "A", "C"], top_n=2)
    assert [order.words for order in found.orders] == [
        "ordered average, attitude 0.1", "weighted sum", "weighted product", "distance to the ideal",
        "ordered average, attitude 0.25", "ordered average, attitude 0.75",
    ]  # fmt: skip
    assert found.orders[0].column == "ordered_average_0_1_rank"
    same = compare_methods(scored(method="ordered_average", attitude=0.25), IDS, ["B", "A", "C"], top_n=2)
    assert [order.is_own for order in same.orders].count(True) == 1
    assert len(same.orders) == 5


def test_equal_scores_stand_by_name():
    even = {name: CriterionValue.exact("", np.full(3, 0.5)) for name in CRITERIA}
    found = compare_methods(score_sites(CRITERIA, even), ["b", "c", "a"], ["a", "b", "c"], top_n=1)
    ranks = found.ranks.filter(regex="_rank$")
    assert (ranks.T.to_numpy() == [1, 2, 3]).all()
    # Each has the score of the two others.
    assert (found.ranks.filter(regex="_level$").to_numpy() == 2).all()
    assert all(np.isnan(order.tau_b) for order in found.orders)


def test_nobody_ranked_is_an_empty_table():
    found = compare_methods(scored(), IDS, [], top_n=5)
    assert len(found.ranks) == 0
    assert "rank_span" in found.ranks
