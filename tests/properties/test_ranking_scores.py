"""Scores and orders: bounded, blind to order and units, never worse for being better."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking import best_first, score_sites
from geo_scout.ranking.score import curve_value

UNTIMED = settings(deadline=None)  # the machine may be busy
NAMES = ("host_area", "host_cover", "crew_distance", "climate_gap")
measure = st.floats(0, 1000, allow_subnormal=False)
maybe = st.one_of(st.none(), measure)


@st.composite
def criteria(draw):
    """Return one to four criteria of any weight and shape, at least one of them weighing something."""
    chosen = {}
    for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4, unique=True)):
        shape = draw(st.sampled_from(["rising", "falling", "plateau"]))
        limits = sorted(draw(st.lists(measure, min_size=4, max_size=4)))
        curve = {"shape": shape, "from": limits[0], "to": limits[3]}
        if shape == "plateau":
            curve |= {"full_from": limits[1], "full_to": limits[2]}
        weight = draw(st.floats(0.01, 100)) if not chosen else draw(st.floats(0, 100))
        chosen[name] = Criterion.model_validate({"weight": weight, "curve": curve})
    return chosen


@st.composite
def seasons(draw):
    """Return criteria, and a measure of each for some sites: known, missing, or missing with a range."""
    chosen, sites = draw(criteria()), draw(st.integers(1, 7))
    measures = {}
    for name in chosen:
        value = np.array(
            [np.nan if one is None else one for one in draw(st.lists(maybe, min_size=sites, max_size=sites))]
        )
        spread = np.array(draw(st.lists(st.floats(0, 50), min_size=sites, max_size=sites)))
        has_range = np.array(draw(st.lists(st.booleans(), min_size=sites, max_size=sites)))
        middle = np.where(np.isnan(value), 20.0, value)
        low = np.where(np.isnan(value) & ~has_range, np.nan, middle - spread)
        high = np.where(np.isnan(value) & ~has_range, np.nan, middle + spread)
        measures[name] = CriterionValue("", value, low, high, ~np.isnan(value), ("",) * sites)
    return chosen, measures


def site_ids(count):
    return [f"A-{number}" for number in range(count)]


def take(measures, index):
    index = np.asarray(index)
    return {
        name: CriterionValue(
            one.unit, one.value[index], one.low[index], one.high[index], one.known[index], ("",) * len(index)
        )
        for name, one in measures.items()
    }


def scaled(criterion, factor):
    curve = criterion.curve
    limits = {"from": curve.start, "to": curve.end, "full_from": curve.full_from, "full_to": curve.full_to}
    moved = {key: value * factor for key, value in limits.items() if value is not None}
    return Criterion.model_validate({"weight": criterion.weight, "curve": {"shape": curve.shape, **moved}})


@UNTIMED
@given(seasons())
def test_scores_lie_in_zero_to_one_and_in_their_interval(season):
    chosen, measures = season
    scored = score_sites(chosen, measures)
    assert (scored.score_low >= 0).all()
    assert (scored.score_high <= 1 + 1e-12).all()
    assert (scored.score_low <= scored.score_high + 1e-12).all()
    np.testing.assert_array_equal(scored.score, scored.score_low)
    np.testing.assert_allclose(sum(scored.points.values()), scored.score, atol=1e-12)
    assert sum(scored.weights.values()) == pytest.approx(1)


@UNTIMED
@given(seasons())
def test_a_wholly_measured_site_has_no_interval(season):
    chosen, measures = season
    scored = score_sites(chosen, measures)
    whole = np.logical_and.reduce([one.known for one in measures.values()])
    np.testing.assert_array_equal(scored.score_low[whole], scored.score_high[whole])


@UNTIMED
@given(seasons(), st.randoms(use_true_random=False))
def test_the_order_of_the_sites_does_not_matter(season, random):
    chosen, measures = season
    count = len(next(iter(measures.values())).value)
    shuffled = list(range(count))
    random.shuffle(shuffled)
    ids = site_ids(count)
    plain = best_first(score_sites(chosen, measures).score, ids)
    mixed = best_first(score_sites(chosen, take(measures, shuffled)).score, [ids[one] for one in shuffled])
    assert plain == mixed


@UNTIMED
@given(seasons(), st.sampled_from([0.001, 0.3048, 0.40468564224, 3.280839895, 1000.0]))
def test_units_do_not_matter_when_measure_and_curve_change_together(season, factor):
    chosen, measures = season
    other = {
        name: CriterionValue(
            one.unit, one.value * factor, one.low * factor, one.high * factor, one.known, one.note
        )
        for name, one in measures.items()
    }
    # Near a step the last bit decides on which side a measure falls.
    assume(all(narrowest_slope(one) >= 1e-6 for one in chosen.values()))
    first, second = (
        score_sites(chosen, measures),
        score_sites({n: scaled(c, factor) for n, c in chosen.items()}, other),
    )
    np.testing.assert_allclose(first.score, second.score, atol=1e-6)
    np.testing.assert_allclose(first.score_high, second.score_high, atol=1e-6)


def narrowest_slope(criterion):
    curve = criterion.curve
    if curve.shape == "plateau":
        return min(curve.full_from - curve.start, curve.end - curve.full_to)
    return curve.end - curve.start


@UNTIMED
@given(seasons(), st.data())
def test_a_site_that_gets_better_on_one_value_never_ranks_worse(season, data):
    chosen, measures = season
    count = len(next(iter(measures.values())).value)
    ids = site_ids(count)
    index, name = data.draw(st.integers(0, count - 1)), data.draw(st.sampled_from(sorted(chosen)))
    better = data.draw(measure)
    before = score_sites(chosen, measures)
    assume(curve_value(chosen[name].curve, np.array([better]))[0] >= before.values[name][index])
    one = measures[name]
    value, low, high, known = one.value.copy(), one.low.copy(), one.high.copy(), one.known.copy()
    value[index] = low[index] = high[index] = better
    known[index] = True
    after = score_sites(chosen, {**measures, name: CriterionValue("", value, low, high, known, one.note)})
    assert after.score[index] >= before.score[index]
    assert best_first(after.score, ids).index(ids[index]) <= best_first(before.score, ids).index(ids[index])


@UNTIMED
@given(seasons(), st.data())
def test_a_dominated_newcomer_never_changes_the_order_of_the_others(season, data):
    """The newcomer is worth no more than one of the others on any value, or is not measured at all."""
    chosen, measures = season
    count = len(next(iter(measures.values())).value)
    over = data.draw(st.integers(0, count - 1))
    scored = score_sites(chosen, measures)
    joined = {}
    for name, one in measures.items():
        measured = data.draw(measure)
        worth = curve_value(chosen[name].curve, np.array([measured]))[0]
        entry = measured if worth <= scored.values[name][over] else np.nan
        value = np.append(one.value, entry)
        joined[name] = CriterionValue(
            "",
            value,
            np.append(one.low, entry),
            np.append(one.high, entry),
            ~np.isnan(value),
            ("",) * (count + 1),
        )
    newcomer = data.draw(st.sampled_from(["0", "Z"]))  # before and after all others by name
    ids = [*site_ids(count), newcomer]
    order = best_first(score_sites(chosen, joined).score, ids)
    assert [one for one in order if one != newcomer] == best_first(scored.score, ids[:-1])
    if newcomer == "Z":
        assert order.index("Z") > order.index(ids[over])


@UNTIMED
@given(seasons())
def test_not_measuring_never_pays(season):
    """Whatever an unmeasured value turns out to be, the score then is no lower than it was counted."""
    chosen, measures = season
    before = score_sites(chosen, measures)
    for end in ("low", "high"):
        found = {}
        for name, one in measures.items():
            value = np.where(one.known, one.value, np.nan_to_num(getattr(one, end), nan=500.0))
            found[name] = CriterionValue("", value, value, value, np.ones(len(value), bool), one.note)
        after = score_sites(chosen, found)
        assert (after.score >= before.score_low - 1e-12).all()
        assert (after.score <= before.score_high + 1e-12).all()
