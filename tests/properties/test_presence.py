"""The chance that the agent is there: what another record, place or order of records may do to it."""

import datetime as dt

import numpy as np
from hypothesis import Phase, example, given, settings
from hypothesis import strategies as st

from geo_scout.evidence.placing import place_records
from geo_scout.evidence.presence import estimate_presence, lay_grounds
from geo_scout.sites import find_patches
from tests import sites_frames as frames

UNTIMED = settings(deadline=None, max_examples=12, phases=tuple(set(Phase) - {Phase.shrink}))
TINY = 1e-12
BEST = 1
WEEDS = [frames.row(frames.square(400 * n), id=f"K{n}") for n in range(4)]
ESTABLISHMENT = {
    "prior_share": {"value": 0.6, "low": 0.4, "high": 0.8},
    "persistence_share": {"value": 0.9, "low": 0.8, "high": 1.0},
    "first_detectable_years": 1.0,
}
SPREAD = {"km_per_yr": 0.4, "lag_years": 1.0, "max_spread_km": 5.0}
SIGN = {
    "name": "adults",
    "methods": ["net"],
    "first_day": "06-01",
    "last_day": "08-15",
    "found_share": {"value": 0.5, "low": 0.3, "high": 0.7},
    "effort_hours": 1.0,
}
MISTAKEN = SIGN | {"wrong_share": {"value": 0.05, "low": 0.0, "high": 0.2}}
AGENTS = {
    sign.get("wrong_share") is not None: frames.agent(
        establishment=ESTABLISHMENT, spread=SPREAD, signs=[sign]
    )
    for sign in (SIGN, MISTAKEN)
}
SITES = find_patches(frames.layers(infestations=WEEDS), frames.season(AGENTS[True]), frames.HOST)

places_m = st.integers(0, 3).map(lambda n: 400 * n + 50)
dates = st.dates(dt.date(2014, 1, 1), dt.date(2026, 10, 31)).map(str)
puts = st.lists(st.tuples(places_m, dates), min_size=1, max_size=4)
sights = st.lists(
    st.tuples(places_m, dates, st.booleans(), st.sampled_from([0.0, 0.5, 2.0, None])), max_size=5
)
mistaken = st.booleans()


def releases_of(rows):
    return [
        frames.row(frames.point(east_m), release_id=f"R{n}", date=date)
        for n, (east_m, date) in enumerate(rows)
    ]


def visits_of(rows):
    return [
        frames.row(
            frames.point(east_m), visit_id=f"v{n}", date=date, found=found, method="net", effort_hours=hours
        )
        for n, (east_m, date, found, hours) in enumerate(rows)
    ]


def chances(put, seen, may_be_mistaken=True, records=None):
    """Return the lowest, best and highest chance in each patch."""
    agent = AGENTS[may_be_mistaken]
    season = frames.season(agent, records=records)
    layers = frames.layers(infestations=WEEDS, releases=put, visits=seen)
    released, visited = (
        place_records(layers.vectors[name], SITES.patches) for name in ("releases", "visits")
    )
    return estimate_presence(lay_grounds(SITES, layers, season, agent, released, visited))[0][: len(SITES)]


@UNTIMED
@given(puts, sights, mistaken, places_m, dates, st.floats(0.1, 5.0))
def test_one_more_visit_in_vain_raises_the_chance_nowhere(put, seen, may_be_mistaken, east_m, date, hours):
    before = chances(releases_of(put), visits_of(seen), may_be_mistaken)
    after = chances(releases_of(put), visits_of([*seen, (east_m, date, False, hours)]), may_be_mistaken)
    assert (after <= before + TINY).all()


one_find = st.tuples(places_m, dates, st.just(True), st.sampled_from([0.0, 1.0, None]))


@UNTIMED
@given(puts, sights, mistaken, one_find)
def test_one_more_find_lowers_the_chance_of_its_patch_never(put, seen, may_be_mistaken, find):
    before = chances(releases_of(put), visits_of(seen), may_be_mistaken)
    after = chances(releases_of(put), visits_of([*seen, find]), may_be_mistaken)
    patch = (find[0] - 50) // 400
    assert (after[patch] >= before[patch] - TINY).all()


@UNTIMED
@given(puts, sights, mistaken, one_find)
@example(
    put=[(50, "2023-09-19")],
    seen=[(450, "2024-08-15", True, 0.0)],
    may_be_mistaken=True,
    find=(50, "2020-06-05", True, None),
)
def test_one_more_find_lowers_the_chance_nowhere_without_visits_in_vain(put, seen, may_be_mistaken, find):
    """A visit in vain tells the more against early arrivals, and a find may make them earlier."""
    seen = [one for one in seen if one[2]]
    before = chances(releases_of(put), visits_of(seen), may_be_mistaken)
    after = chances(releases_of(put), visits_of([*seen, find]), may_be_mistaken)
    assert (after >= before - TINY).all()


def is_fresh(visit, release):
    days = dt.date.fromisoformat(visit[1]) - dt.date.fromisoformat(release[1])
    return visit[0] == release[0] and 0 <= days.days <= 366


@UNTIMED
@given(puts, sights, st.data())
def test_moving_a_release_far_away_raises_the_chance_in_no_patch(put, seen, data):
    """With finds that are sure; where they may be mistaken, see `evidence.course.follow`.

    A find so soon after a release that it may be of the very agents released says nothing, until there was no
    release; such finds are left out. So are visits in vain: one before the agent could have come says nothing,
    and a release moved away may make the arrival a later one.
    """
    seen = [one for one in seen if one[2] and not any(is_fresh(one, release) for release in put)]
    moved = data.draw(st.integers(0, len(put) - 1))
    far = [(90_000 if n == moved else east_m, date) for n, (east_m, date) in enumerate(put)]
    before, after = (chances(releases_of(one), visits_of(seen), False) for one in (put, far))
    assert (after <= before + TINY).all()


@UNTIMED
@given(puts, dates, st.integers(2000, 4000), st.integers(1, 3000))
def test_a_release_farther_off_makes_no_patch_surer(put, date, off_m, farther_m):
    """Without visits: one before the agent comes says nothing, so late arrivals may count for more there."""
    near, far = (chances(releases_of([*put, (place_m, date)]), []) for place_m in (off_m, off_m + farther_m))
    assert (far <= near + TINY).all()


@UNTIMED
@given(dates, st.integers(60, 3000))
def test_a_release_moved_out_of_its_patch_makes_neither_it_nor_those_behind_surer(date, moved_m):
    """Best and highest; the lowest of a release near the edge counts only the part of its circle inside."""
    inside, outside = (chances(releases_of([(1050 + off_m, date)]), []) for off_m in (0, moved_m))
    assert (outside[:2, 1:] <= inside[:2, 1:] + TINY).all()


@UNTIMED
@given(puts, sights, mistaken, st.randoms(use_true_random=False))
def test_the_order_of_records_is_irrelevant(put, seen, may_be_mistaken, random):
    put, seen = releases_of(put), visits_of(seen)
    one = chances(put, seen, may_be_mistaken)
    other = chances(random.sample(put, len(put)), random.sample(seen, len(seen)), may_be_mistaken)
    np.testing.assert_array_equal(one, other)


silent = st.one_of(
    st.tuples(dates, st.just(0.0)),
    st.tuples(
        st.dates(dt.date(2014, 1, 1), dt.date(2026, 10, 31))
        .filter(lambda day: not (6, 1) <= (day.month, day.day) <= (8, 15))
        .map(str),
        st.floats(0.1, 5.0),
    ),
)


@UNTIMED
@given(puts, sights, mistaken, places_m, silent)
def test_a_visit_in_vain_without_effort_or_out_of_season_changes_nothing(
    put, seen, may_be_mistaken, east_m, when
):
    before = chances(releases_of(put), visits_of(seen), may_be_mistaken)
    more = (east_m, when[0], False, when[1])
    after = chances(releases_of(put), visits_of([*seen, more]), may_be_mistaken)
    np.testing.assert_array_equal(before, after)


@UNTIMED
@given(puts, sights, mistaken, st.data())
def test_a_release_written_down_twice_counts_once_unless_releases_are_independent(
    put, seen, may_be_mistaken, data
):
    twice = [*put, put[data.draw(st.integers(0, len(put) - 1))]]
    once, doubled = (chances(releases_of(one), visits_of(seen), may_be_mistaken) for one in (put, twice))
    np.testing.assert_array_equal(once, doubled)
    independent = {"independent_releases": True}
    tries = chances(releases_of(twice), visits_of(seen), may_be_mistaken, independent)
    assert (tries >= doubled - TINY).all()


@UNTIMED
@given(puts, sights, mistaken, st.lists(st.tuples(st.integers(1, 45), st.integers(0, 40)), min_size=4))
def test_less_sure_positions_only_widen_the_range(put, seen, may_be_mistaken, doubts_m):
    # Without visits in vain, for the reason above.
    seen = [one for one in seen if one[2]]
    # The records lie 50 m inside patches that are 300 m apart: up to 85 m every circle holds its own patch only
    # and each record stays where it is.
    narrow, wide = (
        [r | {"coordinate_uncertainty_m": float(30 + first + more)} for r, (first, more) in pairs]
        for pairs in (
            [(r, (first, 0)) for r, (first, _) in zip(releases_of(put), doubts_m, strict=False)],
            list(zip(releases_of(put), doubts_m, strict=False)),
        )
    )
    sure, doubtful = (chances(one, visits_of(seen), may_be_mistaken) for one in (narrow, wide))
    assert (doubtful[:, 0] <= sure[:, 0] + TINY).all()
    assert (doubtful[:, 2] >= sure[:, 2] - TINY).all()
    np.testing.assert_array_equal(doubtful[:, BEST], sure[:, BEST])


@UNTIMED
@given(puts, sights, mistaken)
def test_chances_are_shares_in_order(put, seen, may_be_mistaken):
    low, best, high = chances(releases_of(put), visits_of(seen), may_be_mistaken).T
    assert (low >= 0).all()
    assert (low <= best + TINY).all()
    assert (best <= high + TINY).all()
    assert (high <= 1).all()
