"""Draws of weights and data: blind to order and units, whole in their sums, and never against what is certain."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.formulas.rank_acceptability import rank_shares
from geo_scout.formulas.rank_draws import rank_draws
from geo_scout.model.criteria import Criterion
from geo_scout.model.doubts import AreaDoubt, PresenceDoubt
from geo_scout.model.season import RankingTable
from geo_scout.ranking import assess_robustness, best_first, score_sites
from geo_scout.ranking.drawn_sites import DrawnSites
from geo_scout.ranking.drawn_weights import draw_weights
from tests import robust_sites as by_hand

UNTIMED = settings(deadline=None, max_examples=15)  # the machine may be busy
RANKING = RankingTable(draws=200, top_n=2)
SHARES = ("top_n_share", "eligible_share", "beats_next_share", "confidence_share")


@st.composite
def seasons(draw, fixed=False):
    """Return doubts, criteria and measures of some sites; `fixed` leaves nobody out in any draw."""
    count, random = draw(st.integers(2, 6)), np.random.default_rng(draw(st.integers(0, 10**6)))
    area = np.sort(random.uniform(0.1, 9, (3, count)), axis=0)
    chance = np.sort(random.random((3, count)), axis=0)
    distance = np.where(random.random(count) < 0.2, np.nan, random.uniform(0, 10, count))
    schemes = random.choice(["daubenmire", "braun-blanquet"], count).astype(object)
    least = 0.0 if fixed else float(random.uniform(0, 6))
    most = None if fixed else float(random.uniform(0.3, 1))
    unsure = by_hand.doubts(
        count,
        area=by_hand.area(
            *area, gross=10.0, scheme=schemes, change_log=random.uniform(0, 0.4, count), least_ha=least
        ),
        presence=PresenceDoubt(*chance, most, np.zeros(count, dtype=bool)),
        is_out=np.zeros(count, dtype=bool) if fixed else random.random(count) < 0.2,
    )
    measures = {
        "host_area": by_hand.measure("host_area", area[1], area[0], area[2]),
        "host_cover": by_hand.measure("host_cover", *(10 * area[[1, 0, 2]])),
        "wasted_chance": by_hand.measure("wasted_chance", chance[1], chance[0], chance[2]),
        "crew_distance": by_hand.measure("crew_distance", distance),
    }
    return unsure, by_hand.criteria(host_area=3, host_cover=1, wasted_chance=1, crew_distance=2), measures


def assess(unsure, chosen, measures, ranking=RANKING):
    scored = score_sites(chosen, measures)
    out = {one for one, is_out in zip(unsure.site_ids, unsure.is_out, strict=True) if is_out}
    ranked = [one for one in best_first(scored.score, unsure.site_ids) if one not in out]
    return assess_robustness(unsure, chosen, measures, scored, ranked, ranking)


def drawn(unsure, chosen, measures):
    """Return the ranks of every draw of the sites that some draw may use, as `assess_robustness` makes them."""
    scored, rows = score_sites(chosen, measures), np.flatnonzero(~unsure.is_out)
    sites = DrawnSites(unsure, chosen, measures, scored, rows, RANKING.seed, 200)
    weights = draw_weights(scored.weights, RANKING, 200)
    return rank_draws(sites.values, weights, eligible=sites.eligible), sites


def taken(unsure, measures, index):
    index = np.asarray(index)
    areas = {
        name: getattr(unsure.area, name)[index]
        for name in ("low_ha", "best_ha", "high_ha", "gross_ha", "scheme", "change_log")
    }
    chance = unsure.presence
    return replace(
        unsure,
        site_ids=tuple(unsure.site_ids[one] for one in index),
        is_out=unsure.is_out[index],
        area=replace(unsure.area, **areas),
        presence=PresenceDoubt(
            chance.low_share[index], chance.best_share[index], chance.high_share[index], chance.most_share,
            chance.exempt[index],
        ),
        climate=replace(unsure.climate, rise_km=unsure.climate.rise_km[index], gap=unsure.climate.gap[index]),
    ), {
        name: replace(one, value=one.value[index], low=one.low[index], high=one.high[index],
                      known=one.known[index], note=("",) * len(index))
        for name, one in measures.items()
    }  # fmt: skip


@UNTIMED
@given(seasons(), st.randoms(use_true_random=False))
def test_the_order_of_sites_and_of_criteria_changes_nothing(season, random):
    unsure, chosen, measures = season
    plain = assess(*season)
    order = list(range(len(unsure.site_ids)))
    random.shuffle(order)
    moved, moved_measures = taken(unsure, measures, order)
    names = list(chosen)
    random.shuffle(names)
    again = assess(
        moved, {name: chosen[name] for name in names}, {name: moved_measures[name] for name in names}
    )
    for name in (*SHARES, "rank_low", "rank_high", "rank_best", "rank_worst"):
        # Sums of points in another order may differ in their last bits, and so by a millionth of a score.
        np.testing.assert_allclose(
            getattr(again, name), getattr(plain, name)[order], atol=0.011 if "s" in name else 0
        )


@UNTIMED
@given(seasons(), st.sampled_from([0.404686, 10_000.0]))
def test_hectares_or_square_metres_are_all_the_same(season, factor):
    unsure, chosen, measures = season
    areas = {
        name: getattr(unsure.area, name) * factor
        for name in ("low_ha", "best_ha", "high_ha", "gross_ha", "least_ha")
    }
    curve = {"shape": "rising", "from": 0.0, "to": 10.0 * factor}
    one = measures["host_area"]
    other = measures | {
        "host_area": replace(one, value=one.value * factor, low=one.low * factor, high=one.high * factor)
    }
    weighed = chosen | {"host_area": Criterion.model_validate({"weight": 3, "curve": curve})}
    again, plain = (
        assess(replace(unsure, area=replace(unsure.area, **areas)), weighed, other),
        assess(*season),
    )
    for name in SHARES:
        np.testing.assert_allclose(getattr(again, name), getattr(plain, name), atol=0.011)


@UNTIMED
@given(seasons())
def test_rows_sum_to_who_may_be_used_and_columns_to_how_many_may(season):
    unsure = season[0]
    if unsure.is_out.all():
        return
    found, sites = drawn(*season)
    shares = rank_shares(found, np.arange(len(sites.rows)))
    eligible = sites.eligible(0, 200)
    np.testing.assert_allclose(shares.sum(axis=1), eligible.mean(axis=0), atol=1e-12)
    at_least = [(eligible.sum(axis=1) > rank).mean() for rank in range(len(sites.rows))]
    np.testing.assert_allclose(shares.sum(axis=0), at_least, atol=1e-12)
    np.testing.assert_allclose(assess(*season).eligible_share[sites.rows], eligible.mean(axis=0), atol=1e-12)


@UNTIMED
@given(seasons(fixed=True))
def test_where_nobody_can_be_left_out_rows_and_columns_sum_to_one(season):
    found, sites = drawn(*season)
    shares = rank_shares(found, np.arange(len(sites.rows)))
    np.testing.assert_allclose(shares.sum(axis=0), 1, atol=1e-12)
    np.testing.assert_allclose(shares.sum(axis=1), 1, atol=1e-12)
    np.testing.assert_allclose(assess(*season).top_n_share.sum(), min(2, len(sites.rows)), atol=1e-9)


@UNTIMED
@given(seasons())
def test_a_site_that_is_certainly_out_is_nowhere_and_bounds_hold(season):
    unsure, found = season[0], assess(*season)
    for name in ("top_n_share", "eligible_share", "rank_low", "rank_worst"):
        assert (getattr(found, name)[unsure.is_out] == 0).all()
    assert (found.top_n_share <= found.eligible_share + 1e-12).all()
    used = found.eligible_share > 0
    ranks = np.array([found.rank_best, found.rank_low, found.rank_high, found.rank_worst])[:, used]
    assert (np.diff(ranks, axis=0) >= 0).all()
    assert (ranks >= 1).all()
    assert (ranks <= (~unsure.is_out).sum()).all()


@UNTIMED
@given(seasons(fixed=True))
def test_a_site_better_in_everything_and_sure_of_it_is_first_in_every_draw(season):
    """Its least is above what any other can be at most, whatever is drawn: widths of others do not matter."""
    unsure, chosen, measures = season
    high = unsure.area.gross_ha.copy()
    areas = {name: np.append(getattr(unsure.area, name)[1:], value) for name, value in
             (("low_ha", 10.0), ("best_ha", 10.0), ("high_ha", 10.0), ("change_log", 0.0))}  # fmt: skip
    sure = replace(
        unsure,
        area=AreaDoubt(areas["low_ha"], areas["best_ha"], areas["high_ha"], high, unsure.area.scheme, areas["change_log"]),
        presence=PresenceDoubt(*(np.append(one[1:], 0.0) for one in (
            unsure.presence.low_share, unsure.presence.best_share, unsure.presence.high_share)), None,
            unsure.presence.exempt),
    )  # fmt: skip
    best = {"host_area": 10.0, "host_cover": 100.0, "wasted_chance": 0.0, "crew_distance": 0.0}
    moved = {
        name: by_hand.measure(
            name, *(np.append(getattr(one, end)[1:], best[name]) for end in ("value", "low", "high"))
        )
        for name, one in measures.items()
    }
    found = assess(sure, chosen, moved, RankingTable(draws=100, top_n=1))
    # Another may be as good in the last millionth, which the ids then decide.
    assert found.top_n_share[-1] >= 0.99
    assert found.rank_high[-1] == 1


@UNTIMED
@given(seasons(), st.integers(1, 150))
def test_more_draws_go_on_where_fewer_ended(season, fewer):
    unsure = season[0]
    if unsure.is_out.all():
        return
    scored, rows = score_sites(*season[1:]), np.flatnonzero(~unsure.is_out)
    few, many = (DrawnSites(unsure, *season[1:], scored, rows, 1, draws) for draws in (fewer, 200))
    np.testing.assert_array_equal(few.values(0, fewer), many.values(0, fewer))
    np.testing.assert_array_equal(few.eligible(0, fewer), many.eligible(0, fewer))
