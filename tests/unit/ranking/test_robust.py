"""Shares and intervals held against what can be worked out on paper."""

import numpy as np
import pytest

from geo_scout.model.doubts import ClimateBound, ClimateDoubt, PresenceDoubt
from geo_scout.ranking import score_sites
from geo_scout.ranking.drawn_sites import DrawnSites
from tests import robust_sites as by_hand

MANY = {"draws": 20_000}


def test_without_doubts_only_weights_are_drawn_and_rows_are_as_smaa_says():
    """Three sites best at one thing each, all weights alike likely: each is first in a third of the draws."""
    measures = {
        "host_area": by_hand.measure("host_area", [10, 0, 0]),
        "crew_distance": by_hand.measure("crew_distance", [10, 0, 10]),
        "climate_gap": by_hand.measure("climate_gap", [4, 4, 0]),
    }
    chosen = by_hand.criteria(host_area=1, crew_distance=1, climate_gap=1)
    unsure = by_hand.doubts(3, area=by_hand.area([10, 0, 0], [10, 0, 0], [10, 0, 0]))
    sure = by_hand.assess(unsure, chosen, measures, weights_drawn="free", top_n=1, **MANY)
    np.testing.assert_allclose(sure.top_n_share, 1 / 3, atol=0.017)
    # Lahdelma & Salminen's central weights of the corners: 11/18, and 7/36 for the others.
    np.testing.assert_allclose(np.sort(sure.central_weights, axis=1)[:, ::-1][:, 0], 11 / 18, atol=0.01)
    assert sure.rank_low.tolist() == [1, 1, 1]
    assert sure.rank_high.tolist() == [3, 3, 3]
    assert sure.confidence_share[0] == 1.0
    assert sure.eligible_share.tolist() == [1.0] * 3


def test_a_cover_class_decides_who_is_large_enough_as_its_law_says():
    """Between 1 and 3 ha, 1 likeliest: above 2 ha in (3 - 2)^2 / (2 x 2) = 1/4 of the draws."""
    unsure = by_hand.doubts(2, area=by_hand.area([1, 5], [1, 5], [3, 5], least_ha=2.0))
    measures = {"host_area": by_hand.measure("host_area", [1, 5], [1, 5], [3, 5])}
    sure = by_hand.assess(unsure, by_hand.criteria(host_area=1), measures, out=["A-0"], **MANY)
    assert sure.eligible_share[0] == pytest.approx(0.25, abs=0.015)
    assert sure.eligible_share[1] == 1.0
    assert sure.rank_low[1] == sure.rank_high[1] == 1


def test_shared_bias_keeps_an_order_that_own_errors_upset():
    """Two covers of one scheme move together half of the way; of two schemes, not at all."""
    ends = ([0, 0], [3, 7], [10, 10])
    measures = {"host_area": by_hand.measure("host_area", ends[1], ends[0], ends[2])}
    beats = []
    for scheme in ("daubenmire", ["daubenmire", "braun-blanquet"]):
        unsure = by_hand.doubts(2, area=by_hand.area(*ends, scheme=scheme))
        sure = by_hand.assess(unsure, by_hand.criteria(host_area=1), measures, **MANY)
        beats.append(sure.beats_next_share[1])
    assert 0.5 < beats[1] < beats[0] - 0.01


def test_an_old_survey_is_unsure_and_a_new_one_is_not():
    change = np.array([np.log(1.05) * 20, 0.0])
    unsure = by_hand.doubts(2, area=by_hand.area([4, 4.2], [4, 4.2], [4, 4.2], change_log=change))
    measures = {"host_area": by_hand.measure("host_area", [4, 4.2])}
    sure = by_hand.assess(unsure, by_hand.criteria(host_area=1), measures, **MANY)
    # ln(4.2 / 4) is 5 % of the half-width 0.976: the triangle above it holds (1 - 0.05)^2 / 2.
    assert sure.beats_next_share[1] == pytest.approx(1 - (1 - np.log(1.05) / change[0]) ** 2 / 2, abs=0.015)
    assert sure.rank_high[1] == 2


def test_an_infested_area_never_exceeds_the_ground():
    unsure = by_hand.doubts(1, area=by_hand.area([4], [4], [4], gross=4.0, change_log=1.0, least_ha=4.0001))
    measures = {"host_area": by_hand.measure("host_area", [4])}
    sure = by_hand.assess(unsure, by_hand.criteria(host_area=1), measures, out=["A-0"], draws=500)
    assert sure.eligible_share.tolist() == [0.0]
    assert sure.rank_low.tolist() == [0]


def test_chances_are_low_or_high_together_and_the_limit_follows():
    low, best, high = np.array([0.0, 0.2]), np.array([0.4, 0.6]), np.array([0.8, 1.0])
    presence = PresenceDoubt(low, best, high, 0.5, np.array([False, False]))
    measures = {"wasted_chance": by_hand.measure("wasted_chance", best, low, high)}
    unsure = by_hand.doubts(2, presence=presence)
    sure = by_hand.assess(unsure, by_hand.criteria(wasted_chance=1), measures, out=["A-1"], **MANY)
    # Symmetric triangles: below 0.5 in 1 - 0.3^2 / (2 x 0.4^2), and in 0.3^2 / (2 x 0.4^2) of the draws.
    assert sure.eligible_share[0] == pytest.approx(1 - 0.09 / 0.32, abs=0.015)
    assert sure.eligible_share[1] == pytest.approx(0.09 / 0.32, abs=0.015)
    # Whenever the second may be used the first may too, and is better: it is never first.
    assert sure.rank_best[1] == 2


def test_a_supplement_is_held_against_no_limit():
    presence = PresenceDoubt(np.array([0.9]), np.array([0.9]), np.array([0.9]), 0.5, np.array([True]))
    measures = {"wasted_chance": by_hand.measure("wasted_chance", [0.0])}
    sure = by_hand.assess(
        by_hand.doubts(1, presence=presence), by_hand.criteria(wasted_chance=1), measures, draws=100
    )
    assert sure.eligible_share.tolist() == [1.0]


def test_an_error_of_the_lapse_rate_moves_limits_and_gap_at_once():
    """0.5 km higher than its cells, 0.25 degC above the limit: inside while the error is below 0.5 per km."""
    bound = ClimateBound(np.array([-9.75, -9.75]), -10.0, None, True)
    gap = np.array([[1.0, 2.0, 3.0], [1.5, 1.5, 1.5]])
    climate = ClimateDoubt(np.array([0.5, 0.0]), (bound,), by_hand.NO_ERRORS, gap)
    measures = {"climate_gap": by_hand.measure("climate_gap", [2.0, 1.5])}
    unsure = by_hand.doubts(2, climate=climate)
    sure = by_hand.assess(unsure, by_hand.criteria(climate_gap=1), measures, **MANY)
    assert sure.eligible_share[0] == pytest.approx(1 - 0.5**2 / 2, abs=0.012)
    assert sure.eligible_share[1] == 1.0
    # Its gap is below 1.5 when the error is below -0.5: the same share on the other side.
    assert sure.beats_next_share[1] == pytest.approx(1 - 0.5**2 / 2, abs=0.012)


def test_what_was_not_measured_may_be_anything():
    measures = {"crew_distance": by_hand.measure("crew_distance", [np.nan, 2.5])}
    sure = by_hand.assess(by_hand.doubts(2), by_hand.criteria(crew_distance=1), measures, **MANY)
    assert sure.beats_next_share[1] == pytest.approx(0.75, abs=0.015)
    ranged = {"crew_distance": by_hand.measure("crew_distance", [np.nan, 2.5], [2, 2.5], [4, 2.5])}
    sure = by_hand.assess(by_hand.doubts(2), by_hand.criteria(crew_distance=1), ranged, **MANY)
    assert sure.beats_next_share[1] == pytest.approx(0.75, abs=0.015)


def test_the_place_of_a_find_outside_every_patch_is_unsure():
    measures = {"population_distance": by_hand.measure("population_distance", [5.0, 5.05])}
    unsure = by_hand.doubts(2, population_m=np.array([100.0, 0.0]))
    sure = by_hand.assess(unsure, by_hand.criteria(population_distance=1), measures, **MANY)
    assert sure.beats_next_share[1] == pytest.approx(1 - 0.5**2 / 2, abs=0.012)


def test_draws_are_as_many_as_the_error_asks_and_the_error_is_told():
    measures = {"crew_distance": by_hand.measure("crew_distance", [np.nan, 5.0])}
    sure = by_hand.assess(
        by_hand.doubts(2), by_hand.criteria(crew_distance=1), measures, top_n=1, error_share=0.02
    )
    assert sure.draws == 625
    assert 0.019 < sure.error_share <= 0.02
    assert (
        by_hand.assess(by_hand.doubts(2), by_hand.criteria(crew_distance=1), measures, draws=107).draws == 107
    )


def test_nobody_to_rank_is_no_error():
    measures = {"crew_distance": by_hand.measure("crew_distance", [1.0])}
    unsure = by_hand.doubts(1, is_out=np.array([True]))
    sure = by_hand.assess(unsure, by_hand.criteria(crew_distance=1), measures, out=["A-0"])
    assert (sure.draws, sure.top_n_share.tolist(), sure.drawn) == (0, [0.0], ())


def test_what_was_drawn_and_what_was_not_is_said():
    ends = ([0, 0], [4, 5], [10, 10])
    measures = {
        "host_area": by_hand.measure("host_area", ends[1], ends[0], ends[2]),
        "crew_distance": by_hand.measure("crew_distance", [1, 2]),
    }
    unsure = by_hand.doubts(2, area=by_hand.area(*ends, least_ha=1.0))
    sure = by_hand.assess(unsure, by_hand.criteria(host_area=1, crew_distance=1), measures, draws=100)
    assert [sentence.partition(":")[0] for sentence in sure.drawn] == [
        "Weights",
        "Infested area and cover of 2 sites",
        "Each draw decides who reaches min_infested_ha (1 ha).",
    ]
    assert sure.exact == ("Taken as exact where measured: crew distance.",)


def test_drawing_anew_gives_what_keeping_gives(monkeypatch):
    ends = ([0, 0, 1], [4, 5, 3], [10, 10, 6])
    measures = {"host_area": by_hand.measure("host_area", ends[1], ends[0], ends[2])}
    unsure = by_hand.doubts(3, area=by_hand.area(*ends, least_ha=2.0, change_log=0.2))
    told = []
    for kept in (0, 10**9):
        monkeypatch.setattr("geo_scout.ranking.drawn_sites.KEPT_BYTES", kept)
        told.append(by_hand.assess(unsure, by_hand.criteria(host_area=1), measures, draws=400, top_n=1))
    for name in ("top_n_share", "eligible_share", "rank_high", "confidence_share", "central_weights"):
        np.testing.assert_array_equal(getattr(told[0], name), getattr(told[1], name))


def test_the_host_around_is_low_or_high_everywhere_at_once():
    """Far apart in range but always in the same place of it, so that the order never turns."""
    ends = ([1.0, 2.0], [4.0, 5.0], [9.0, 10.0])
    chosen = {"host_around": by_hand.criteria(host_area=1)["host_area"]}
    measures = {"host_around": by_hand.measure("host_area", ends[1], ends[0], ends[2])}
    sure = by_hand.assess(by_hand.doubts(2), chosen, measures, draws=2_000)
    assert sure.beats_next_share[1] == 1.0
    assert any(sentence.startswith("Host around: between") for sentence in sure.drawn)


def test_scores_are_made_by_the_rankings_own_method():
    """By the weaker of two values A-1 leads in every draw; by the sum A-0 does."""
    measures = {
        "host_area": by_hand.measure("host_area", [10.0, 5.0]),
        "crew_distance": by_hand.measure("crew_distance", [9.0, 5.5]),
    }
    chosen = by_hand.criteria(host_area=1, crew_distance=1)
    unsure = by_hand.doubts(2, area=by_hand.area([10, 5], [10, 5], [10, 5]))

    def weaker(tables, weights, usable):
        return np.broadcast_to(tables.min(axis=2), (len(weights), 2))

    named = {"draws": 100, "top_n": 1}
    assert by_hand.assess(unsure, chosen, measures, combine=weaker, **named).top_n_share.tolist() == [0, 1]
    by_sum = by_hand.assess(unsure, chosen, measures, **named)
    assert by_sum.top_n_share[0] > 0.5
    assert by_sum.confidence_share[0] == 1.0


def test_covers_nobody_read_are_drawn_each_by_itself():
    """Two patches of one scheme, both unread, 0 to 10 ha and 4 to 6 ha: the first is larger in half of the draws.

    Drawn apart, it is the larger one with any number of the other; the share of both in the middle fifth is a fifth.
    """
    unsure = by_hand.doubts(2, area=by_hand.area([0, 0], [np.nan, np.nan], [10, 10]))
    measures = {"host_area": by_hand.measure("host_area", [np.nan] * 2, [0, 0], [10, 10])}
    chosen = by_hand.criteria(host_area=1)
    sites = DrawnSites(unsure, chosen, measures, score_sites(chosen, measures), np.arange(2), 1, 20_000)
    values = sites.values(0, 20_000)[:, :, 0]
    assert abs(np.corrcoef(values.T)[0, 1]) < 0.03
    np.testing.assert_allclose(values.mean(axis=0), 0.5, atol=0.01)
    drawn = by_hand.assess(unsure, chosen, measures, draws=200).drawn
    assert not any("cover classes" in sentence for sentence in drawn)


def test_level_sites_do_not_beat_each_other():
    measures = {"crew_distance": by_hand.measure("crew_distance", [5.0, 5.0, 6.0])}
    sure = by_hand.assess(by_hand.doubts(3), by_hand.criteria(crew_distance=1), measures, draws=100)
    assert np.isnan(sure.beats_next_share).tolist() == [True, False, True]
