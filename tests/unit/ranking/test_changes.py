"""What would change it, and that it does: by hand, and by ranking again whatever the sentence says."""

import re

import numpy as np
import pytest

from geo_scout.formulas.combining import rank_by_score
from geo_scout.formulas.weight_change import changed_weights
from geo_scout.ranking import best_first, score_sites
from geo_scout.ranking.changes import change_sentence
from geo_scout.ranking.combine import combiner
from geo_scout.ranking.ranked_values import ranked_values
from geo_scout.ranking.score import curve_value
from tests import robust_sites as by_hand


def ranked(chosen, measures, top_n, gross=100.0, method="weighted_sum", attitude=None):
    scored = score_sites(chosen, measures, method=method, attitude=attitude)
    ids = by_hand.ids_of(len(scored.score))
    order = best_first(scored.score, ids)
    rows = np.array([ids.index(one) for one in order])
    return ranked_values(order, rows, chosen, measures, scored, np.full(len(ids), gross), top_n)


def test_two_criteria_by_hand():
    """A-0 scores 0.5 x 0.8 + 0.5 x 0.2 = 0.5, A-1 0.5 x 0.3 + 0.5 x 0.6 = 0.45.

    With weight w of the area: 0.2 + 0.6 w against 0.6 - 0.3 w, level at 4 / 9. An area of 7 ha is level.
    """
    measures = {
        "host_area": by_hand.measure("host_area", [8.0, 3.0]),
        "crew_distance": by_hand.measure("crew_distance", [8.0, 4.0]),
    }
    sites = ranked(by_hand.criteria(host_area=1, crew_distance=1), measures, 1)
    assert change_sentence(sites, 0) == (
        "It would drop out of the first 1 if the weight of host area fell from 0.50 to 0.44, or if host area "
        "were 6.9 ha instead of 8.0 ha."
    )
    assert change_sentence(sites, 1) == (
        "It would come among the first 1 if the weight of host area fell from 0.50 to 0.44, or if host area "
        "were 4.1 ha instead of 3.0 ha."
    )


def test_a_list_that_holds_all_cannot_be_left():
    sites = ranked(
        by_hand.criteria(crew_distance=1), {"crew_distance": by_hand.measure("crew_distance", [1, 2])}, 2
    )
    assert (
        change_sentence(sites, 0)
        == "No single weight or measure moves it off the first 2: only 2 are ranked."
    )


def test_where_nothing_does_it_is_said():
    """Better in both criteria, whatever the weights; and as good as it gets in one already."""
    measures = {
        "host_area": by_hand.measure("host_area", [np.nan, 10.0], [10.0, 10.0], [10.0, 10.0]),
        "crew_distance": by_hand.measure("crew_distance", [np.nan, 9.0], [0.0, 9.0], [0.0, 9.0]),
    }
    sites = ranked(by_hand.criteria(host_area=1, crew_distance=1), measures, 1)
    assert (
        change_sentence(sites, 0)
        == "No change of a single weight or measure would make it drop out of the first 1."
    )


def test_no_area_is_larger_than_its_ground():
    measures = {
        "host_area": by_hand.measure("host_area", [3.0, 8.0]),
        "crew_distance": by_hand.measure("crew_distance", [2.0, 2.0]),
    }
    small = ranked(by_hand.criteria(host_area=1, crew_distance=1), measures, 1, gross=4.0)
    assert "host area were" not in change_sentence(small, 1)
    assert "host area were 8.0 ha" in change_sentence(
        ranked(by_hand.criteria(host_area=1, crew_distance=1), measures, 1), 1
    )


def season(seed):
    random = np.random.default_rng(seed)
    measures = {
        "host_area": by_hand.measure("host_area", random.uniform(0, 12, 9).round(2)),
        "host_cover": by_hand.measure("host_cover", random.uniform(0, 100, 9).round(1)),
        "wasted_chance": by_hand.measure("wasted_chance", random.random(9).round(3)),
        "climate_gap": by_hand.measure("climate_gap", random.uniform(0, 5, 9).round(2)),
    }
    return by_hand.criteria(host_area=3, host_cover=1, wasted_chance=2, climate_gap=1), measures


SHAPES = {
    "host_cover": {"shape": "plateau", "from": 5, "full_from": 30, "full_to": 60, "to": 90},
    "climate_gap": {"shape": "falling", "from": 2.0, "to": 2.0},
}


METHODS = [
    ("weighted_sum", None, False),
    ("weighted_sum", None, True),
    ("weighted_product", None, False),
    ("ordered_average", 0.3, False),
    ("ordered_average", 0.8, True),
    ("ideal_distance", None, True),
]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("method", "attitude", "shaped"), METHODS)
def test_every_sentence_comes_true_when_ranked_again(seed, method, attitude, shaped):
    chosen, measures = season(seed)
    combine = combiner(method, attitude)
    if shaped:
        for name, curve in SHAPES.items():
            chosen[name] = type(chosen[name]).model_validate({"weight": 2.0, "curve": curve})
    sites = ranked(chosen, measures, 4, method=method, attitude=attitude)
    told = 0
    for place, site_id in enumerate(sites.ids):
        sentence = change_sentence(sites, place)
        is_inside = place < 4
        assert ("drop out" in sentence) == is_inside or "No change" in sentence
        weight = re.search(r"weight of ([a-z ]+) (?:rose|fell) from ([\d.]+) to ([\d.]+\d)", sentence)
        if weight:
            column = sites.names.index(weight[1].replace(" ", "_"))
            assert float(weight[2]) == pytest.approx(sites.weights[column], abs=0.006)
            again = changed_weights(sites.weights, column, float(weight[3]))
            rank = rank_by_score(combine(sites.values, again), sites.ids)[place]
            assert (rank <= 4) != is_inside, (site_id, sentence)
            told += 1
        measure = re.search(r"if ([a-z ]+) were ([\d.]+\d)(?: \w+| %)? instead of ([\d.]+\d)", sentence)
        if measure:
            name = measure[1].replace(" ", "_")
            column = sites.names.index(name)
            assert float(measure[3]) == pytest.approx(sites.measures[name].value[sites.rows[place]], abs=0.06)
            values = sites.values.copy()
            values[place, column] = curve_value(chosen[name].curve, np.array([float(measure[2])]))[0]
            rank = rank_by_score(combine(values, sites.weights), sites.ids)[place]
            assert (rank <= 4) != is_inside, (site_id, sentence)
            told += 1
    assert told >= 9


def test_what_was_not_measured_may_bring_a_site_in():
    """A-0 counts 0.5 x 0.4 = 0.2 of at most 0.7; A-1 has 0.45. An area worth 0.5 or more is level, and its id first."""
    measures = {
        "host_area": by_hand.measure("host_area", [np.nan, 3.0], [0.0, 3.0], [10.0, 3.0]),
        "crew_distance": by_hand.measure("crew_distance", [6.0, 4.0]),
    }
    chosen = by_hand.criteria(host_area=1, crew_distance=1)
    assert change_sentence(ranked(chosen, measures, 1), 1) == (
        "It would come among the first 1 if crew distance were 1.0 km instead of 6.0 km, or if host area, which was "
        "not measured, were worth 0.50 of 1 or more."
    )
    # Where even 4 ha is the most it can be, no area brings it in.
    measures["host_area"] = by_hand.measure("host_area", [np.nan, 3.0], [0.0, 3.0], [4.0, 3.0])
    assert "not measured" not in change_sentence(ranked(chosen, measures, 1), 1)
    # Above the cut nothing is lost by measuring.
    assert "not measured" not in change_sentence(ranked(chosen, measures, 1), 0)


@pytest.mark.parametrize(
    ("method", "attitude"), [("weighted_product", None), ("ideal_distance", None), ("ordered_average", 0.3)]
)
def test_by_other_methods_measuring_does_what_is_said(method, attitude):
    measures = {
        "host_area": by_hand.measure("host_area", [np.nan, 3.0, 5.0], [1.0, 3.0, 5.0], [10.0, 3.0, 5.0]),
        "crew_distance": by_hand.measure("crew_distance", [3.0, 4.0, 6.0]),
    }
    chosen = by_hand.criteria(host_area=1, crew_distance=1)
    sites = ranked(chosen, measures, 1, method=method, attitude=attitude)
    place = sites.ids.index("A-0")
    assert place > 0
    [worth] = re.findall(r"not measured, were worth ([\d.]+) of 1 or more", change_sentence(sites, place))
    for value, is_in in ((float(worth), True), (float(worth) - 0.011, False)):
        values = sites.values.copy()
        values[place, 0] = value
        assert sites.is_first(sites.millionths(values, sites.weights), place) == is_in
