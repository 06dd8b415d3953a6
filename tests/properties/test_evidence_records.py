"""Records: what moves away leaves, and the order of rows is irrelevant."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.evidence import gather_evidence
from geo_scout.model.layers import LayerSet
from geo_scout.sites import find_patches
from tests import sites_frames as frames

pytestmark = pytest.mark.slow
UNTIMED = settings(deadline=None, max_examples=25)  # the machine may be busy
AGENT = frames.agent(
    establishment={"prior_share": 0.5, "years_to_confirm": 2.0},
    spread={"km_per_yr": 1.0, "max_spread_km": 10.0},
)
SEASON = frames.season(AGENT)
WEEDS = [frames.row(frames.square(500 * n), id=f"K{n}") for n in range(5)]
SITES = find_patches(frames.layers(infestations=WEEDS), SEASON, frames.HOST)
FAR_M = 90_000

places = st.integers(-3, 48).map(lambda n: frames.point(50 * n))  # in, near and between the patches
years = st.integers(2010, 2025)
releases = st.lists(st.tuples(places, years), max_size=5).map(
    lambda rows: [
        frames.row(place, release_id=f"R{n}", date=f"{year}-06-01") for n, (place, year) in enumerate(rows)
    ]
)
visits = st.lists(
    st.tuples(places, years, st.booleans(), st.sampled_from(["", "R0", "R1", "R2"])), max_size=8
).map(
    lambda rows: [
        frames.row(place, visit_id=f"v{n}", release_id=release, date=f"{year}-07-01", found=found)
        for n, (place, year, found, release) in enumerate(rows)
    ]
)


def gather(put, seen):
    layers: LayerSet = frames.layers(infestations=WEEDS, releases=put, visits=seen)
    return gather_evidence(SITES, layers, SEASON, AGENT)


def inside(evidence):
    return {site for site in evidence.populations["site_id"] if site}


def moved_away(put, index):
    return [r | {"geometry": frames.point(FAR_M)} if n == index else r for n, r in enumerate(put)]


@UNTIMED
@given(releases.filter(bool), visits, st.data())
def test_moving_a_release_away_never_adds_a_population_where_the_finds_name_theirs(put, seen, data):
    moved = data.draw(st.integers(0, len(put) - 1))
    names = st.sampled_from([r["release_id"] for r in put])
    seen = [v | {"release_id": data.draw(names)} for v in seen]
    before, after = gather(put, seen), gather(moved_away(put, moved), seen)
    assert inside(after) <= inside(before)
    assert after.releases["site_id"][moved] == ""


@UNTIMED
@given(releases.filter(bool), visits, st.data())
def test_moving_a_release_away_changes_no_patch_but_its_own(put, seen, data):
    """In its own patch a find that names no release may now confirm: nothing is known to wait for."""
    moved = data.draw(st.integers(0, len(put) - 1))
    unnamed = [v | {"release_id": ""} for v in seen]
    before, after = gather(put, unnamed), gather(moved_away(put, moved), unnamed)
    own = before.releases["site_id"][moved]
    assert inside(before) - {own} == inside(after) - {own}
    others = before.sites["site_id"] != own
    columns = ["site_id", "confirmed", "confirmed_by", "latest_result", "release_ids", "first_release"]
    assert before.sites.loc[others, columns].equals(after.sites.loc[others, columns])


@UNTIMED
@given(releases, visits)
def test_moving_every_visit_away_leaves_no_population_in_a_patch(put, seen):
    away = [v | {"geometry": frames.point(FAR_M)} for v in seen]
    evidence = gather(put, away)
    assert inside(evidence) == set()
    assert not evidence.sites["confirmed"].any()


@UNTIMED
@given(releases, visits)
def test_a_visit_in_vain_never_makes_a_population_and_a_find_never_unmakes_one(put, seen):
    more = frames.row(frames.point(50), visit_id="more", release_id="", date="2025-08-01", found=False)
    base = gather(put, seen)
    assert inside(gather(put, [*seen, more])) == inside(base)
    assert inside(base) <= inside(gather(put, [*seen, more | {"found": True}]))


@UNTIMED
@given(releases, visits)
def test_confirmed_patches_are_those_of_the_populations(put, seen):
    evidence = gather(put, seen)
    sites = evidence.sites
    assert set(sites.loc[sites["confirmed"], "site_id"]) == inside(evidence)
    assert (sites.loc[sites["confirmed"], "population_distance_km"] == 0).all()
    assert evidence.populations["population_id"].is_unique
    if len(evidence.populations):
        assert sites["population_distance_km"].notna().all()
    assert not evidence.visits.loc[evidence.visits["confirms"], "found"].eq(False).any()


@UNTIMED
@given(releases, visits, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_irrelevant(put, seen, random):
    one = gather(put, seen)
    other = gather(random.sample(put, len(put)), random.sample(seen, len(seen)))
    columns = ["site_id", "population_id", "confirmed", "confirmed_by", "latest_result", "release_ids"]
    columns.append("unvisited_release_ids")
    assert one.sites[columns].equals(other.sites[columns])
    np.testing.assert_array_equal(one.sites["population_distance_km"], other.sites["population_distance_km"])
    assert one.populations.drop(columns="geometry").equals(other.populations.drop(columns="geometry"))
