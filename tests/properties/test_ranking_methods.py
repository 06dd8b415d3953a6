"""What is true of every way to combine: blind to the order of sites, fair to the better one."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from geo_scout.formulas.combining import score_integer
from geo_scout.formulas.dominance import dominated_pairs
from geo_scout.model.criteria import Criterion, Curve
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking import best_first, compare_methods, score_sites
from geo_scout.ranking.score import curve_value

FEW = settings(deadline=None, max_examples=25)
METHODS = [
    ("weighted_sum", None), ("weighted_product", None), ("ideal_distance", None), ("ordered_average", 0.0),
    ("ordered_average", 0.25), ("ordered_average", 0.5), ("ordered_average", 0.9), ("ordered_average", 1.0),
]  # fmt: skip
LINE = {"shape": "rising", "from": 0.0, "to": 1.0}


@st.composite
def tables(draw):
    """Return lowest and highest values of some sites, criteria and which sites may be ranked."""
    count, sites = draw(st.integers(1, 4)), draw(st.integers(2, 8))
    # Tenths, so that sites often are equal on a criterion and dominate each other.
    tenths = arrays.arrays(np.int64, (sites, count), elements=st.integers(0, 10))
    low, high = np.sort(np.stack([draw(tenths), draw(tenths)]), axis=0) / 10
    is_open = draw(arrays.arrays(np.bool_, (sites, count)))
    high = np.where(is_open, high, low)
    weights = draw(st.lists(st.integers(1, 9), min_size=count, max_size=count))
    criteria = {
        f"c{at}": Criterion.model_validate({"weight": weight, "curve": LINE})
        for at, weight in enumerate(weights)
    }
    return criteria, low, high, draw(arrays.arrays(np.bool_, sites))


def measures_of(criteria, low, high):
    known = low == high
    return {
        name: CriterionValue(
            "",
            np.where(known[:, at], low[:, at], np.nan),
            low[:, at],
            high[:, at],
            known[:, at],
            ("",) * len(low),
        )
        for at, name in enumerate(criteria)
    }


@pytest.mark.parametrize(("method", "attitude"), METHODS)
@FEW
@given(table=tables())
def test_a_site_that_is_surely_better_in_everything_never_scores_less(method, attitude, table):
    criteria, low, high, _ = table
    scored = score_sites(criteria, measures_of(criteria, low, high), None, method, attitude)
    better, worse = dominated_pairs(low, high)
    whole = score_integer(scored.score)
    assert (whole[better] >= whole[worse]).all()
    assert (scored.score >= -1e-12).all()
    assert (scored.score_high <= 1 + 1e-9).all()
    assert (scored.score_low <= scored.score_high + 1e-9).all()


@pytest.mark.parametrize(("method", "attitude"), METHODS)
@FEW
@given(table=tables(), random=st.randoms(use_true_random=False))
def test_neither_the_order_of_sites_nor_of_criteria_matters(method, attitude, table, random):
    criteria, low, high, among = table
    rows, names = list(range(len(low))), list(criteria)
    random.shuffle(rows)
    random.shuffle(names)
    ids = [f"A-{row}" for row in rows]
    plain = score_sites(criteria, measures_of(criteria, low, high), None, method, attitude, among)
    every = measures_of(criteria, low[rows], high[rows])
    mixed = score_sites({name: criteria[name] for name in names}, every, None, method, attitude, among[rows])
    np.testing.assert_allclose(mixed.score, plain.score[rows], rtol=1e-12)
    np.testing.assert_allclose(mixed.score_high, plain.score_high[rows], rtol=1e-12)
    order = best_first(plain.score[rows], ids)
    assert order == best_first(plain.score, [f"A-{row}" for row in range(len(low))])


@FEW
@given(tables(), st.integers(1, 5))
def test_the_comparison_holds_each_rank_once_and_the_moves_add_up(table, top_n):
    criteria, low, high, among = table
    scored = score_sites(criteria, measures_of(criteria, low, high), None, may_rank=among)
    ids = [f"A-{row}" for row in range(len(low))]
    ranked = [site for site in best_first(scored.score, ids) if among[int(site[2:])]]
    found = compare_methods(scored, ids, ranked, top_n)
    for order in found.orders:
        assert sorted(found.ranks[order.column]) == list(range(1, len(ranked) + 1))
        assert len(order.enters) == len(order.leaves)
    assert found.ranks[found.orders[0].column].tolist() == list(range(1, len(ranked) + 1))


def test_distance_to_the_ideal_may_turn_two_sites_round_when_a_third_joins():
    """The newcomer is worse than both in the second criterion and changes what a difference there counts."""
    criteria = {name: Criterion.model_validate({"weight": 1, "curve": LINE}) for name in ("one", "other")}
    pair = np.array([[0.9, 0.5], [0.6, 0.8]])
    three = np.vstack([pair, [[0.0, 0.45]]])
    orders, sums = [], []
    for values in (pair, three):
        measures = measures_of(criteria, values, values)
        by_distance = score_sites(criteria, measures, method="ideal_distance").score
        orders.append(best_first(by_distance, list("ABC")[: len(values)]))
        sums.append(best_first(score_sites(criteria, measures).score, list("ABC")[: len(values)]))
    assert orders[0] != [site for site in orders[1] if site != "C"]
    assert sums[0] == [site for site in sums[1] if site != "C"]


@FEW
@given(
    st.floats(-50, 50), st.floats(0.1, 50), st.sampled_from(["rising", "falling"]),
    st.lists(st.floats(-200, 200), min_size=2, max_size=20),
)  # fmt: skip
def test_an_s_goes_one_way(start, width, direction, measures):
    curve = Curve.model_validate(
        {"shape": "s_shaped", "from": start, "to": start + width, "direction": direction}
    )
    values = curve_value(curve, np.sort(np.array(measures)))
    steps = np.diff(values) * (1 if direction == "rising" else -1)
    assert (steps >= -1e-12).all()
    assert ((values >= 0) & (values <= 1)).all()


@FEW
@given(
    st.lists(st.integers(-50, 50), min_size=1, max_size=5, unique=True),
    st.lists(st.floats(0, 1), min_size=6, max_size=6), st.lists(st.floats(-60, 60), min_size=2, max_size=20),
)  # fmt: skip
def test_steps_rise_where_their_levels_do(limits, levels, measures):
    told = {"shape": "steps", "limits": sorted(limits), "levels": sorted(levels)[: len(limits) + 1]}
    curve = Curve.model_validate(told, strict=False)
    assert (np.diff(curve_value(curve, np.sort(np.array(measures)))) >= 0).all()
