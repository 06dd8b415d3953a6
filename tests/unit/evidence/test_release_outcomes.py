"""Which releases tell: every reason with records that a person can follow."""

import datetime as dt

import pytest

from geo_scout.evidence import judge_releases
from geo_scout.model.outcomes import REASONS
from geo_scout.sites import find_patches
from tests import programmes as made
from tests import sites_frames as frames

WEEDS = [made.weed(0, "K1"), made.weed(5000, "K2")]


def judged(put, seen, agent=made.AGENT, as_of=frames.AS_OF, **more):
    season = made.season(as_of, agent)
    layers = frames.layers(infestations=WEEDS, releases=put, visits=seen, **more)
    table = judge_releases(find_patches(layers, season, frames.HOST), layers, season, agent)
    return {row.release_id: row for row in table.itertuples()}


def reason(seen, **more):
    found = judged([made.release(0, "R1", "2015-06-10")], seen, **more)["R1"]
    assert found.reason in REASONS
    assert (found.label == "unused") == (found.reason not in ("found", "searched"))
    return found.reason


def test_a_find_two_years_later_is_an_establishment():
    told = judged([made.release(0, "R1", "2015-06-10")], [made.visit(0, "v", "2017-06-15", found=True)])["R1"]
    assert (told.label, told.reason, str(told.told_on)[:10]) == ("established", "found", "2017-06-15")
    assert told.missed_share == pytest.approx(0.05)


def test_a_find_one_day_too_soon_is_none():
    """Two years are 730 days: 2017-06-09 is the 730th day, the day before is too soon."""
    assert reason([made.visit(0, "v", "2017-06-09", found=True)]) == "found"
    assert reason([made.visit(0, "v", "2017-06-08", found=True)]) == "before-its-time"


def test_a_find_that_may_be_of_agents_released_since_does_not_count():
    put = [made.release(0, "R1", "2015-06-10"), made.release(0, "R2", "2018-06-10")]
    told = judged(put, [made.visit(0, "v", "2018-07-01", found=True)])
    assert (told["R1"].reason, told["R2"].reason) == ("another-since", "another-first")


def test_it_counts_what_was_seen_before_another_release():
    put = [made.release(0, "R1", "2015-06-10"), made.release(0, "R2", "2018-06-10")]
    told = judged(put, [made.visit(0, "v", "2017-07-01", found=True)])
    assert (told["R1"].reason, told["R2"].reason) == ("found", "another-first")


def test_not_found_counts_when_the_visits_could_have_found_it():
    """One visit of an hour misses 5 in a hundred; one of a quarter of an hour 0.05^0.25 = 47."""
    assert reason([made.visit(0, "v", "2017-07-01")]) == "searched"
    assert reason([made.visit(0, "v", "2017-07-01", effort_hours=0.25)]) == "may-have-missed"
    four = [made.visit(0, f"v{n}", f"201{n}-07-01", effort_hours=0.25) for n in (7, 8, 9)]
    told = judged([made.release(0, "R1", "2015-06-10")], four[:3])["R1"]
    assert told.missed_share == pytest.approx(0.05**0.75)
    assert told.reason == "may-have-missed"
    assert reason([*four, made.visit(0, "v0", "2020-07-01", effort_hours=0.25)]) == "searched"


@pytest.mark.parametrize("silent", [{"date": "2017-10-01"}, {"method": "ear"}, {"effort_hours": None}])
def test_visits_that_say_nothing_tell_nothing(silent):
    one = made.visit(0, "v", "2017-07-01") | silent
    assert reason([one]) == "may-have-missed"


def test_a_visit_that_names_no_release_counts_for_its_place():
    assert reason([made.visit(0, "v", "2017-07-01", found=True, release_id="")]) == "found"


def test_a_visit_that_names_it_from_elsewhere_does_not():
    assert reason([made.visit(5000, "v", "2017-07-01", found=True, release_id="R1")]) == "elsewhere"


def test_nobody_went():
    assert reason([made.visit(5000, "v", "2017-07-01", found=True)]) == "not-visited"


def test_not_old_enough():
    seen = [made.visit(0, "v", "2016-07-01", found=True)]
    assert reason(seen, as_of=dt.date(2016, 11, 1)) == "too-early"


def test_the_agent_was_there_before():
    seen = [made.visit(0, "v", "2014-07-01", found=True), made.visit(0, "w", "2018-07-01", found=True)]
    assert reason(seen) == "there-before"


def test_a_profile_without_a_waiting_time_tells_nothing():
    agent = frames.agent(establishment={"prior_share": 0.5}, signs=[made.SIGN])
    assert reason([made.visit(0, "v", "2018-07-01", found=True)], agent=agent) == "no-waiting-time"


def test_without_a_waiting_time_it_is_told_all_the_same_who_was_there():
    agent = frames.agent(establishment={"prior_share": 0.5}, signs=[made.SIGN])
    put = [made.release(0, "R1", "2015-06-10"), made.release(5000, "R2", "2015-06-10")]
    told = judged(put, [made.visit(0, "v", "2018-07-01", release_id="")], agent=agent)
    assert {name: row.visited for name, row in told.items()} == {"R1": True, "R2": False}


def losing(**records):
    season = made.season()
    rule = season.settings.records.model_copy(update={"loss_kinds": ("herbicide",), **records})
    return season, season.settings.model_copy(update={"records": rule})


def test_ground_that_was_destroyed_tells_nothing_and_starts_anew():
    sprayed = frames.row(
        frames.square(-50, -50, 300),
        treatment_id="T1",
        kind="herbicide",
        start="2016-05-01",
        end="2016-05-01",
    )
    put = [made.release(0, "R1", "2015-06-10"), made.release(0, "R2", "2017-06-10")]
    seen = [made.visit(0, "v", "2019-07-01", found=True)]
    layers = frames.layers(infestations=WEEDS, releases=put, visits=seen, treatments=[sprayed])
    season, settings = losing()
    season = frames_season(season, settings)
    table = judge_releases(find_patches(layers, season, frames.HOST), layers, season, made.AGENT)
    assert table["reason"].tolist() == ["destroyed", "found"]


def frames_season(season, settings):
    return type(season)(season.path, settings, season.agents, season.as_of, season.given)


def test_where_others_may_have_come_it_says_nothing_of_the_release():
    """The neighbour, 4.9 km off and found there in 2016, spreads 3 km a year: in 2019 it has surely come."""
    agent = frames.agent(
        establishment={"prior_share": 0.5, "years_to_confirm": 2.0},
        signs=[made.SIGN],
        spread={"km_per_yr": 3.0, "max_spread_km": 20.0},
    )
    near = [made.visit(5000, "near", "2010-07-01", found=True)]
    for found in (True, False):
        seen = [*near, made.visit(0, "v", "2019-07-01", found=found)]
        assert reason(seen, agent=agent) == "may-have-come"
    assert reason([*near, made.visit(0, "v", "2019-07-01", found=True)]) == "found"


@pytest.mark.parametrize("first", [2017, 2019])
def test_whether_others_may_have_come_does_not_hang_on_what_was_found(first):
    """Looked at every year: a find tells in the first of them, a search in vain after the last.

    The neighbour spreads 1 km a year from 2016: e^(-4.9 / 1.5) = 0.04 of 4.9 km by the end of 2017, e^(-4.9 / 3.5) =
    0.25 and more by that of 2019, which is over the 0.1 of this season.
    """
    agent = frames.agent(
        establishment={"prior_share": 0.5, "years_to_confirm": 2.0},
        signs=[made.SIGN],
        spread={"km_per_yr": 1.0, "max_spread_km": 20.0},
    )
    season = made.season(frames.AS_OF, agent)
    records = season.settings.records.model_copy(update={"unlikely_to_share": 0.1})
    season = frames_season(season, season.settings.model_copy(update={"records": records}))
    labels = {}
    for found in (True, False):
        seen = [made.visit(5000, "near", "2016-07-01", found=True)]
        seen += [made.visit(0, f"v{n}", f"{n}-07-01", found=found) for n in range(first, 2024)]
        layers = frames.layers(
            infestations=WEEDS, releases=[made.release(0, "R1", "2015-06-10")], visits=seen
        )
        table = judge_releases(find_patches(layers, season, frames.HOST), layers, season, agent)
        labels[found] = table["reason"].tolist()
    expected = [["found"], ["searched"]] if first == 2017 else [["may-have-come"]] * 2
    assert [labels[True], labels[False]] == expected


def test_releases_of_one_day_in_one_place_count_once():
    put = [made.release(0, "R2", "2015-06-10"), made.release(0, "R1", "2015-06-10")]
    told = judged(put, [made.visit(0, "v", "2017-07-01", found=True)])
    assert told["R2"].reason == "another-first"
    assert told["R1"].reason == "found"


def test_who_was_there_since_is_told_whatever_comes_of_it():
    put = [
        made.release(0, "R1", "2015-06-10"),
        made.release(0, "R2", "2018-06-10"),
        made.release(5000, "R3", "2015-06-10"),
    ]
    told = judged(put, [made.visit(0, "v", "2017-07-01"), made.visit(0, "w", "2016-07-01", release_id="R3")])
    assert {name: row.visited for name, row in told.items()} == {"R1": True, "R2": False, "R3": True}


def test_a_find_after_the_next_release_is_the_reason_though_an_earlier_visit_missed_it():
    put = [made.release(0, "R1", "2015-06-10"), made.release(0, "R2", "2018-06-10")]
    seen = [made.visit(0, "v", "2017-07-01", effort_hours=0.25), made.visit(0, "w", "2021-07-01", found=True)]
    assert judged(put, seen)["R1"].reason == "another-since"


def test_a_release_in_no_patch_is_told_as_one():
    told = judged(
        [made.release(9000, "R1", "2015-06-10")], [made.visit(0, "v", "2017-07-01", release_id="R1")]
    )
    assert told["R1"].reason == "outside"
