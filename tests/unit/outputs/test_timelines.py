"""Timelines of the sample season: every release once, under its agent and district."""

import datetime as dt
from dataclasses import replace

import pandas as pd
import pytest

from geo_scout.model.result import LegalQuestion
from geo_scout.outputs.timelines import build_timelines, questions_in, write_timelines


def of(groups, release_id):
    [found] = [one for group in groups for one in group.timelines if one.label.split()[0] == release_id]
    return found


def test_every_release_is_drawn_once_under_its_agent_and_district(sample):
    groups, left_out = build_timelines(sample, "crew")
    releases = pd.concat([pd.DataFrame(one.releases) for one in sample.evidence.values()])
    drawn = [one.label.split()[0] for group in groups for one in group.timelines]
    assert sorted(drawn) == sorted(releases["release_id"])
    assert left_out == 0
    names = releases["agent"] + ", " + releases["district"]
    assert [group.heading for group in groups] == sorted(set(names))
    for group in groups:
        assert len(group.timelines) == (names == group.heading).sum()
        days = [one.released for one in group.timelines]
        assert days == sorted(days)


def test_each_visit_of_a_release_is_on_its_line_as_what_it_saw(sample):
    groups, _ = build_timelines(sample, "crew")
    for evidence in sample.evidence.values():
        for release_id, visits in evidence.visits[evidence.visits["release_id"] != ""].groupby("release_id"):
            own = [one for one in of(groups, release_id).sights if one.is_own and one.seen != "lost"]
            assert [one.day for one in own] == sorted(day.date() for day in visits["date"])
            assert sum(one.seen == "found" for one in own) == visits["found"].sum()
            silent = (visits["says_nothing"] != "").sum()
            assert sum(one.seen == "says nothing" for one in own) == silent


def test_a_lost_release_shows_the_day_and_the_year_but_the_public_only_the_year(sample):
    releases = pd.concat([pd.DataFrame(one.releases) for one in sample.evidence.values()])
    lost = releases[(releases["state"] == "lost") & (releases["lost_on"] != "")].iloc[0]
    crew, public = (of(build_timelines(sample, one)[0], lost["release_id"]) for one in ("crew", "public"))
    assert [one.day.isoformat() for one in crew.sights if one.seen == "lost"] == [lost["lost_on"]]
    assert not [one for one in public.sights if one.seen == "lost"]
    assert crew.verdict == public.verdict
    assert crew.verdict.startswith(f"lost {lost['state_year']:.0f}; now ")


def test_the_newest_are_drawn_where_there_are_too_many(sample):
    groups, left_out = build_timelines(sample, "crew", most=10)
    drawn = [one for group in groups for one in group.timelines]
    releases = pd.concat([pd.DataFrame(one.releases) for one in sample.evidence.values()])
    assert (len(drawn), left_out) == (10, len(releases) - 10)
    tenth = releases["date"].sort_values(ascending=False).iloc[9].date()
    assert min(one.released for one in drawn) == tenth


@pytest.mark.parametrize(
    ("jurisdiction", "district", "is_asked"),
    [("Harrowmere", "Orrin Bench", True), ("harrowmere ", "Orrin Bench", True), ("Harrowmere", "Tessock", False),
     ("", "Tessock", True), ("an unmapped jurisdiction", "", True), ("Harrowmere", "", False)],
)  # fmt: skip
def test_a_question_stands_where_its_law_holds(sample, jurisdiction, district, is_asked):
    agent = sample.season.agents[0].name
    asked = replace(sample, questions=(LegalQuestion(agent, jurisdiction, "", "it is unknown"),))
    assert (questions_in(asked, agent, district) != ()) == is_asked
    assert questions_in(asked, "another agent", district) == ()


def test_what_is_dated_after_the_season_is_not_drawn(sample):
    earlier = replace(sample, season=replace(sample.season, as_of=dt.date(2020, 1, 1)))
    groups, _ = build_timelines(earlier, "crew")
    drawn = [one for group in groups for one in group.timelines]
    assert drawn
    assert max(one.released for one in drawn) <= dt.date(2020, 1, 1)
    days = [sight.day for one in drawn for sight in one.sights if sight.seen != "lost"]
    assert all(one <= dt.date(2020, 1, 1) for one in days)


def test_the_file_is_the_same_each_time(sample, tmp_path):
    for name in ("a.svg", "b.svg"):
        write_timelines(tmp_path / name, sample, "crew")
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()
    assert b"\r" not in (tmp_path / "a.svg").read_bytes()
