"""Ways to weigh and combine: order and units irrelevant, better never worse, the dominated change nothing."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from geo_scout.formulas.combining import normalise_weights, rank_by_score, score_integer, weighted_sum
from geo_scout.formulas.dominance import dominated_pairs
from geo_scout.formulas.ideal_distance import ideal_closeness, ideal_closeness_interval
from geo_scout.formulas.ordered_average import ordered_weighted_average
from geo_scout.formulas.pairwise_comparison import most_inconsistent, pairwise_weights, reciprocal_matrix
from geo_scout.formulas.value_curves import curve_range, s_shaped, steps
from geo_scout.formulas.weight_change import changed_weights, swap_weights, weight_across_cut
from geo_scout.formulas.weighted_product import weighted_product
from geo_scout.formulas.weights import grouped_weights, rank_order_centroid

UNTIMED = settings(deadline=None, max_examples=60)  # the machine may be busy

# Values as they come from curves: hundredths, so that equal ones are equal.
hundredths = st.integers(0, 100).map(lambda whole: whole / 100)
tables = hnp.arrays(np.float64, st.tuples(st.integers(2, 7), st.integers(2, 5)), elements=hundredths)
quantities = st.floats(-1e6, 1e6)


def average(alpha):
    return lambda values, weights: ordered_weighted_average(values, weights, alpha)


# Methods that score a site by itself, whoever else is there.
ALONE = {
    "weighted sum": weighted_sum,
    "weighted product": weighted_product,
    "ordered average, bold": average(0.5),
    "ordered average, careful": average(3.0),
}
ALL = {**ALONE, "distance to the ideal": ideal_closeness}


@st.composite
def problems(draw):
    values = draw(tables)
    weights = draw(
        st.lists(st.integers(0, 9), min_size=values.shape[1], max_size=values.shape[1]).filter(any)
    )
    return values, normalise_weights(weights)


@pytest.mark.parametrize("method", ALL.values(), ids=ALL.keys())
@UNTIMED
@given(problem=problems(), random=st.randoms(use_true_random=False))
def test_the_order_of_sites_and_of_criteria_is_irrelevant(method, problem, random):
    values, weights = problem
    rows, columns = list(range(len(values))), list(range(len(weights)))
    random.shuffle(rows)
    random.shuffle(columns)
    scores = method(values, weights)
    np.testing.assert_array_equal(method(values[rows], weights), scores[rows])
    # another order of adding up moves the last digits
    np.testing.assert_allclose(method(values[:, columns], weights[columns]), scores, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize("method", ALL.values(), ids=ALL.keys())
@UNTIMED
@given(problem=problems())
def test_scores_are_shares(method, problem):
    scores = method(*problem)
    assert (scores >= 0).all()
    assert (scores <= 1 + 1e-12).all()


@UNTIMED
@given(problems(), st.lists(st.sampled_from([0.25, 0.5, 1.0, 8.0]), min_size=5, max_size=5))
def test_the_unit_of_a_column_is_irrelevant_to_the_distance_to_the_ideal(problem, factors):
    values, weights = problem
    scaled = values * np.array(factors[: len(weights)])
    np.testing.assert_allclose(ideal_closeness(scaled, weights), ideal_closeness(values, weights), rtol=1e-9)


@UNTIMED
@given(problems(), st.sampled_from([0.25, 0.5]))
def test_halving_every_value_keeps_the_order(problem, factor):
    values, weights = problem
    for method in ALONE.values():
        np.testing.assert_allclose(
            method(values * factor, weights), method(values, weights) * factor, rtol=1e-9, atol=1e-15
        )


@pytest.mark.parametrize("method", ALONE.values(), ids=ALONE.keys())
@UNTIMED
@given(problem=problems(), data=st.data())
def test_a_better_value_never_lowers_a_rank_or_a_score(method, problem, data):
    values, weights = problem
    site = data.draw(st.integers(0, len(values) - 1))
    column = data.draw(st.integers(0, len(weights) - 1))
    better = values.copy()
    better[site, column] = data.draw(st.floats(values[site, column], 1.0))
    ids = [str(number) for number in range(len(values))]
    before, after = method(values, weights), method(better, weights)
    assert after[site] >= before[site] - 1e-12
    others = np.arange(len(values)) != site
    np.testing.assert_array_equal(before[others], after[others])
    # 1e-9 so that the last digit of an average cannot tip a rounded millionth
    assert rank_by_score(after + np.where(others, 0, 1e-9), ids)[site] <= rank_by_score(before, ids)[site]


@UNTIMED
@given(problems(), st.data())
def test_a_dominated_site_changes_the_order_of_no_others_under_the_weighted_sum(problem, data):
    values, weights = problem
    dominating = data.draw(st.integers(0, len(values) - 1))
    shrink = data.draw(hnp.arrays(np.float64, len(weights), elements=st.floats(0, 1)))
    longer = np.vstack([values, values[dominating] * shrink])
    ids = [str(number) for number in range(len(longer))]
    before = rank_by_score(weighted_sum(values, weights), ids[:-1])
    after = rank_by_score(weighted_sum(longer, weights), ids)
    np.testing.assert_array_equal(
        np.argsort(before), [site for site in np.argsort(after) if site < len(values)]
    )
    assert after[-1] > after[dominating]


@UNTIMED
@given(problems())
def test_whoever_dominates_is_never_below(problem):
    values, weights = problem
    better, worse = dominated_pairs(values, values)
    for method in ALL.values():
        scores = method(values, weights)
        assert (scores[better] >= scores[worse] - 1e-12).all()


@UNTIMED
@given(problems())
def test_product_and_sum_stand_as_means_do(problem):
    values, weights = problem
    assert (weighted_product(values, weights) <= weighted_sum(values, weights) + 1e-12).all()
    np.testing.assert_allclose(
        ordered_weighted_average(values, weights, 1.0), weighted_sum(values, weights), atol=1e-12
    )
    careful, bold = (ordered_weighted_average(values, weights, alpha) for alpha in (2.0, 0.5))
    assert (careful <= weighted_sum(values, weights) + 1e-12).all()
    assert (bold >= weighted_sum(values, weights) - 1e-12).all()


@UNTIMED
@given(problems(), st.data())
def test_scores_of_possible_values_lie_in_the_interval(problem, data):
    low, weights = problem
    high = np.maximum(low, data.draw(hnp.arrays(np.float64, low.shape, elements=hundredths)))
    share = data.draw(hnp.arrays(np.float64, low.shape, elements=st.floats(0, 1)))
    possible = low + share * (high - low)
    for method in ALONE.values():
        assert (method(possible, weights) >= method(low, weights) - 1e-12).all()
        assert (method(possible, weights) <= method(high, weights) + 1e-12).all()
    lowest, highest = ideal_closeness_interval(low, high, weights)
    for site in range(len(low)):
        own = low.copy()
        own[site] = possible[site]
        closeness = ideal_closeness(own, weights)[site]
        assert lowest[site] - 1e-9 <= closeness <= highest[site] + 1e-9


@UNTIMED
@given(st.lists(st.integers(1, 5), min_size=1, max_size=8), st.randoms(use_true_random=False))
def test_weights_by_order_fall_with_the_place_and_go_with_their_criterion(places, random):
    weights = rank_order_centroid(places)
    assert weights.sum() == pytest.approx(1.0)
    assert (weights > 0).all()
    for one, other in zip(places, weights, strict=True):
        for another, its in zip(places, weights, strict=True):
            assert (one < another) == (other > its + 1e-9)
    shuffled = list(range(len(places)))
    random.shuffle(shuffled)
    np.testing.assert_array_equal(rank_order_centroid(np.array(places)[shuffled]), weights[shuffled])


@UNTIMED
@given(st.data(), st.integers(1, 4))
def test_groups_count_what_they_are_given_whatever_the_unit_inside(data, groups):
    group = [*range(groups), *data.draw(st.lists(st.integers(0, groups - 1), max_size=5))]
    between = data.draw(st.lists(st.integers(1, 9), min_size=groups, max_size=groups))
    inside = np.array(data.draw(st.lists(st.integers(1, 9), min_size=len(group), max_size=len(group))))
    weights = grouped_weights(group, between, inside)
    assert np.bincount(group, weights) == pytest.approx(np.array(between) / sum(between))
    factors = np.array([1.0, 8.0, 0.5, 3.0])[np.array(group)]
    assert grouped_weights(group, between, inside * factors) == pytest.approx(weights)


scale = st.sampled_from([1 / 9, 1 / 7, 1 / 5, 1 / 4, 1 / 3, 1 / 2, 1, 2, 3, 4, 5, 7, 9])


@UNTIMED
@given(st.integers(3, 7), st.data(), st.randoms(use_true_random=False))
def test_judgements_in_another_order_give_the_same_weights(count, data, random):
    first, second = np.triu_indices(count, 1)
    judged = data.draw(st.lists(scale, min_size=len(first), max_size=len(first)))
    matrix = reciprocal_matrix(count, first, second, judged)
    found = pairwise_weights(matrix)
    assert found.weights.sum() == pytest.approx(1.0)
    assert (found.weights > 0).all()
    assert found.lambda_max >= count - 1e-9
    shuffled = list(range(count))
    random.shuffle(shuffled)
    again = pairwise_weights(matrix[np.ix_(shuffled, shuffled)])
    assert again.weights == pytest.approx(found.weights[shuffled], rel=1e-8)
    assert again.consistency_ratio == pytest.approx(found.consistency_ratio, abs=1e-8)
    worst = most_inconsistent(matrix)
    if worst is None:
        assert found.consistency_ratio == pytest.approx(0.0, abs=1e-8)
    else:
        assert worst.error_factor > 1
        assert worst.equally_far >= (3 if count == 3 else 1)


@UNTIMED
@given(problems())
def test_just_past_the_swap_the_two_sites_have_changed_places(problem):
    values, weights = problem
    order = np.argsort(-weighted_sum(values, weights), kind="stable")
    above, below = values[order[:-1]], values[order[1:]]
    found = swap_weights(above, below, weights)
    for pair, criterion in np.argwhere(~np.isnan(found.equal_at)):
        level = changed_weights(weights, criterion, found.equal_at[pair, criterion])
        assert weighted_sum(above, level)[pair] == pytest.approx(weighted_sum(below, level)[pair], abs=1e-9)
        past = changed_weights(weights, criterion, found.checked_at[pair, criterion])
        one, other = score_integer(weighted_sum([above[pair], below[pair]], past))
        assert other > one
    dominating, _ = dominated_pairs(np.vstack([above[0], below[0]]), np.vstack([above[0], below[0]]))
    if 0 in dominating:
        assert found.criterion[0] == -1


@UNTIMED
@given(problems(), st.data())
def test_just_past_the_cut_the_site_is_across(problem, data):
    values, weights = problem
    site = data.draw(st.integers(0, len(values) - 1))
    places = data.draw(st.integers(1, len(values)))
    ids = [str(number) for number in range(len(values))]
    before = rank_by_score(weighted_sum(values, weights), ids)[site] <= places
    found = weight_across_cut(values, weights, np.arange(len(values)), site, places)
    if found is not None:
        past = changed_weights(weights, found.criterion, found.checked_at)
        assert (rank_by_score(weighted_sum(values, past), ids)[site] <= places) != before
        assert abs(found.checked_at - weights[found.criterion]) > abs(
            found.equal_at - weights[found.criterion]
        )
    if places == len(values):
        assert found is None


@UNTIMED
@given(quantities, quantities, hnp.arrays(np.float64, 9, elements=quantities))
def test_the_s_curve_is_monotone_and_half_in_the_middle(start, full, measures):
    ordered = np.sort(measures)
    values = s_shaped(ordered, start, full)
    assert ((values >= 0) & (values <= 1)).all()
    assert (np.diff(values) >= 0).all() if start <= full else (np.diff(values) <= 0).all()
    if start != full:
        assert s_shaped([start, full], start, full).tolist() == [0.0, 1.0]
        assume(abs(full - start) > 1e-3)  # below, the middle itself is rounded
        assert float(s_shaped((start + full) / 2, start, full)) == pytest.approx(0.5, abs=1e-6)
        assert s_shaped(ordered, full, start) + values == pytest.approx(np.ones(9))


@UNTIMED
@given(
    st.lists(quantities, min_size=1, max_size=4, unique=True).map(sorted),
    st.data(),
    quantities,
    quantities,
)
def test_the_range_of_steps_is_what_they_reach_inside(limits, data, low, high):
    levels = data.draw(st.lists(hundredths, min_size=len(limits) + 1, max_size=len(limits) + 1))
    left, right = min(low, high), max(low, high)
    reached = steps([left, right, *(limit for limit in limits if left <= limit <= right)], limits, levels)
    lowest, highest = curve_range("steps", limits, low, high, levels=levels)
    assert (lowest, highest) == (reached.min(), reached.max())
    rising = steps(np.sort([low, high, *limits]), limits, sorted(levels))
    assert (np.diff(rising) >= 0).all()
