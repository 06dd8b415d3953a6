"""Reach, value curves, weights, scores, ranks: monotone, bounded, indifferent to order and units."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from geo_scout.formulas.combining import normalise_weights, points, rank_by_score, score_integer, weighted_sum
from geo_scout.formulas.dispersal import reach, reach_from_curve
from geo_scout.formulas.value_curves import curve_range, falling, plateau, rising

UNTIMED = settings(deadline=None)  # the machine may be busy

quantities = st.floats(-1e6, 1e6)
unit = st.floats(0, 1)
distances = hnp.arrays(np.float64, st.integers(0, 12), elements=st.floats(0, 500))


@UNTIMED
@given(distances, st.floats(-5, 60), st.floats(0, 20), st.floats(0, 10), st.floats(0, 300))
def test_reach_is_a_share_that_falls_with_distance_and_grows_with_time(
    distance_km, years, speed, lag, limit_km
):
    ordered = np.sort(distance_km)
    share = reach(ordered, years, speed, lag, limit_km)
    assert ((share >= 0) & (share <= 1)).all()
    assert (np.diff(share) <= 0).all()
    assert (share[ordered == 0] == 1).all()
    assert (share[ordered > limit_km] == 0).all()
    assert (reach(ordered, years + 1, speed, lag, limit_km) >= share).all()


@UNTIMED
@given(distances, st.floats(-5, 60), st.floats(0, 0.5), st.floats(-2, 2), st.floats(0, 300))
def test_reach_from_a_curve_is_a_share_too(distance_km, years, slope, start, limit_km):
    ordered = np.sort(distance_km)
    share = reach_from_curve(ordered, years, slope, start, 1.0, 7.0, limit_km)
    assert ((share >= 0) & (share <= 1)).all()
    assert (np.diff(share) <= 0).all()
    assert (reach_from_curve(ordered, years + 1, slope, start, 1.0, 7.0, limit_km) >= share).all()


@UNTIMED
@given(
    st.lists(quantities, min_size=2, max_size=2).map(sorted), hnp.arrays(np.float64, 9, elements=quantities)
)
def test_curves_are_monotone_shares_and_mirror_each_other(limits, measures):
    ordered = np.sort(measures)
    up, down = rising(ordered, *limits), falling(ordered, *limits)
    for value in (up, down):
        assert ((value >= 0) & (value <= 1)).all()
    assert (np.diff(up) >= 0).all()
    assert (np.diff(down) <= 0).all()
    np.testing.assert_array_equal(down, rising(-ordered, -limits[1], -limits[0]))
    if limits[0] < limits[1]:
        assert up + down == pytest.approx(np.ones(9))


@UNTIMED
@given(
    st.lists(quantities, min_size=4, max_size=4).map(sorted),
    quantities,
    quantities,
    st.lists(unit, max_size=20),
)
def test_the_range_of_a_curve_holds_every_value_in_the_interval(limits, low, high, shares):
    inside = np.clip(low + np.array(shares) * (high - low), min(low, high), max(low, high))
    for shape, curve, own in (
        ("rising", rising, limits[:2]),
        ("falling", falling, limits[:2]),
        ("plateau", plateau, limits),
    ):
        lowest, highest = curve_range(shape, own, low, high)
        values = curve(np.append(inside, [low, high]), *own)
        assert (values >= lowest).all()
        assert (values <= highest).all()
        # and the ends are reached: at an end of the interval or, on a plateau, at a limit inside it
        corners = curve(
            np.array([low, high, *(limit for limit in own if min(low, high) <= limit <= max(low, high))]),
            *own,
        )
        assert corners.min() == lowest
        assert corners.max() == highest


weight_lists = st.lists(st.floats(0, 1e6), min_size=1, max_size=6).filter(lambda weights: sum(weights) > 0)


@UNTIMED
@given(weight_lists, st.sampled_from([0.25, 4.0, 1024.0]))
def test_weights_keep_their_proportions_whatever_their_unit(weights, factor):
    shares = normalise_weights(weights)
    assert shares.sum() == pytest.approx(1.0, rel=1e-12)
    assert ((shares >= 0) & (shares <= 1)).all()
    # subnormal weights lose digits when they are scaled; all others keep theirs
    assume(all(weight == 0 or weight > 1e-300 for weight in weights))
    assert normalise_weights(np.array(weights) * factor) == pytest.approx(shares, rel=1e-12)


@UNTIMED
@given(weight_lists, st.data())
def test_a_score_lies_between_the_worst_and_best_value_and_rises_with_each_value(weights, data):
    shares = normalise_weights(weights)
    values = data.draw(hnp.arrays(np.float64, (5, len(shares)), elements=unit))
    scores = weighted_sum(values, shares)
    assert (scores >= values.min(axis=1) - 1e-12).all()
    assert (scores <= values.max(axis=1) + 1e-12).all()
    assert points(values, shares).sum(axis=1) == pytest.approx(scores)
    better = np.maximum(values, data.draw(hnp.arrays(np.float64, values.shape, elements=unit)))
    assert (weighted_sum(better, shares) >= scores).all()


@UNTIMED
@given(st.dictionaries(st.text(max_size=4), unit, max_size=10), st.randoms(use_true_random=False))
def test_the_order_of_sites_is_irrelevant_to_their_ranks(sites, random):
    ids = list(sites)
    ranks = dict(zip(ids, rank_by_score([sites[name] for name in ids], ids).tolist(), strict=True))
    random.shuffle(ids)
    again = dict(zip(ids, rank_by_score([sites[name] for name in ids], ids).tolist(), strict=True))
    assert again == ranks
    assert sorted(ranks.values()) == list(range(1, len(ids) + 1))
    by_rank = sorted(ids, key=ranks.__getitem__)
    keys = [(-int(score_integer(sites[name])), name) for name in by_rank]
    assert keys == sorted(keys)


@UNTIMED
@given(st.lists(unit, min_size=2, max_size=8), st.integers(0, 7))
def test_a_better_score_never_ranks_worse(scores, which):
    position = which % len(scores)
    ids = [f"{number}" for number in range(len(scores))]
    before = rank_by_score(scores, ids)[position]
    scores[position] = min(1.0, scores[position] + 0.1)
    assert rank_by_score(scores, ids)[position] <= before
