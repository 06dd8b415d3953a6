import numpy as np
import pandas as pd
import pytest

from geo_scout.model.combination import IdealPoint
from geo_scout.model.criteria import HostArea
from geo_scout.model.method_comparison import MethodComparison, MethodOrder
from geo_scout.model.ranking import Ranking
from geo_scout.ranking.explain_method import comparison_line, score_lines

ROW = pd.Series({"status": "ranked"})


def ranking(**more):
    return Ranking(
        "beetle", "release", {"host_area": HostArea()}, {"host_area": 1.0}, {}, pd.DataFrame(), **more
    )


def test_a_sum_of_points_needs_no_words():
    assert list(score_lines(ranking(), ROW)) == []


def test_a_product_is_named():
    head, how = score_lines(ranking(method="weighted_product"), ROW)
    assert head == "How the values make the score: weighted product"
    assert "value ^ weight" in how


@pytest.mark.parametrize(
    ("attitude", "words"),
    [
        (0.25, "each value counts W^3 less that of the value before it"),
        (0.0, "at attitude 0 the score is the worst value alone"),
        (1.0, "at attitude 1 the score is the best value alone"),
    ],
)
def test_an_ordered_average_gives_its_power(attitude, words):
    lines = list(score_lines(ranking(method="ordered_average", attitude=attitude), ROW))
    assert lines[0] == f"How the values make the score: ordered average, attitude {attitude:g}"
    assert lines[-1].endswith(words)


def test_a_distance_gives_what_it_is_measured_against():
    one = ranking(method="ideal_distance", ideal={"host_area": IdealPoint(0.9, 0.1, 2.5, 14)})
    lines = list(score_lines(one, ROW))
    assert "    host_area: best 0.900000, worst 0.100000, root 2.500000" in lines
    assert lines[-1] == "  taken from the 14 sites that no limit but spacing leaves out"
    out = list(score_lines(one, pd.Series({"status": "left out"})))
    assert out[-1].endswith("leaves out; it is scored as if it alone joined them")


def test_the_ranks_by_other_methods_are_told_of_ranked_sites():
    orders = (
        MethodOrder("weighted_sum", None, True, 1.0, (), ()),
        MethodOrder("weighted_product", None, False, np.nan, (), ()),
    )
    ranks = pd.DataFrame(
        {
            "site_id": ["A"],
            "weighted_sum_rank": [1],
            "weighted_product_rank": [4],
            "weighted_product_level": [2],
            "best_rank": [1],
            "worst_rank": [4],
        }
    )
    one = ranking(comparison=MethodComparison(10, orders, ranks))
    assert list(comparison_line(one, "A")) == [
        "Rank by other methods: weighted product 4 (level with 2 others); between 1 and 4 in all"
    ]
    assert list(comparison_line(one, "B")) == []
    assert list(comparison_line(ranking(), "A")) == []
