"""What ends a population: treatments over a patch of a hectare, surveys over a point outside."""

import pandas as pd
import pytest
import shapely

from geo_scout.evidence import gather_evidence
from geo_scout.sites import find_patches

AWAY_M = 5050


@pytest.fixture
def gather(frames):
    """Return the evidence of R in K (0 m) and O outside (5,050 m), both released in 2018 with a prior of 0.5."""

    def run(records=None, seen=(), **rows_of):
        agent = frames.agent()
        season = frames.season(agent, records={"loss_kinds": ["herbicide", "mowing"]} | (records or {}))
        put = [
            frames.row(frames.point(east_m), release_id=name, date="2018-06-01")
            for name, east_m in (("R", 50), ("O", AWAY_M))
        ]
        weeds = [frames.row(frames.square(0), id="K")]
        layers = frames.layers(infestations=weeds, releases=put, visits=seen, **rows_of)
        return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)

    return run


def treatment(frames, shape, kind="herbicide", end="2022-05-03", start="2022-05-01"):
    return frames.row(shape, treatment_id="T", kind=kind, start=start, end=end)


def shares(evidence):
    return evidence.releases["presence_share"].tolist()


@pytest.mark.parametrize(("width_m", "share"), [(100, 0.0), (91, 0.0), (89, 0.5)])
def test_a_treatment_ends_what_lives_on_the_ground_it_covers(gather, frames, width_m, share):
    strip = treatment(frames, shapely.box(0, 0, width_m, 100))
    evidence = gather(treatments=[strip])
    assert shares(evidence) == [share, 0.5]
    assert evidence.releases["state"].tolist() == ["lost" if share == 0 else "possible", "possible"]


def test_a_treatment_of_less_is_said(gather, frames):
    half = treatment(frames, shapely.box(0, 0, 50, 100))
    assert gather(treatments=[half]).sites["state_words"][0] == (
        "possible (2018), now 50 %, if nothing has happened since 2018: release R of 2018-06-01; "
        "herbicide T over 50 % of it, less than 90 % (loss_share), is not counted as a loss."
    )


@pytest.mark.parametrize(
    ("kind", "end", "share"),
    [
        ("grazing", "2022-05-03", 0.5),  # no kind that ends a population
        (" Mowing", "2022-05-03", 0.0),
        ("mowing", "2026-11-02", 0.5),  # not over yet on 1 November 2026
        ("mowing", "2026-11-01", 0.0),
        ("mowing", None, 0.0),  # over on its first day
    ],
)
def test_kind_and_last_day_of_a_treatment(gather, frames, kind, end, share):
    assert shares(gather(treatments=[treatment(frames, frames.square(0), kind, end)]))[0] == share


def test_no_kind_ends_anything_unless_the_season_says_so(gather, frames):
    over = [treatment(frames, frames.square(0))]
    assert shares(gather({"loss_kinds": []}, treatments=over)) == [0.5, 0.5]


def test_what_is_released_or_found_afterwards_lives(gather, frames):
    over = [treatment(frames, frames.square(0), end="2018-05-30", start="2018-05-29")]
    assert gather(treatments=over).releases["state"].tolist() == ["possible", "possible"]
    same_day = [treatment(frames, frames.square(0), end="2018-06-01", start="2018-05-29")]
    assert shares(gather(treatments=same_day))[0] == 0.5
    assert gather(treatments=same_day).releases["lost_on"][0] == ""
    find = frames.row(frames.point(50), visit_id="v", date="2023-06-01", found=True)
    later = [treatment(frames, frames.square(0))]
    evidence = gather(seen=[find], treatments=later)
    assert evidence.sites["state"][0] == "confirmed"
    assert evidence.sites["presence_share"][0] == 1.0
    # What was released there in 2018 is lost all the same.
    assert (evidence.releases["state"][0], shares(evidence)[0]) == ("lost", 0.0)
    assert evidence.releases["state_words"][0] == "lost (2022): herbicide T over 100 % of it, 2022-05-03."


def test_what_came_before_a_loss_is_not_told_of_what_was_put_there_since(frames):
    agent = frames.agent(
        establishment={"prior_share": 0.5, "years_to_confirm": 2.0, "first_detectable_years": 1.0}
    )
    season = frames.season(agent, records={"loss_kinds": ["herbicide"]})
    put = [
        frames.row(frames.point(50), release_id=name, date=date)
        for name, date in (("R1", "2018-06-01"), ("R2", "2026-06-01"))
    ]
    seen = [
        frames.row(frames.point(50), visit_id=name, release_id="R1", date=date, found=found)
        for name, date, found in (("v1", "2021-06-01", True), ("v2", "2020-06-01", False))
    ]
    over = [treatment(frames, frames.square(0))]
    weeds = [frames.row(frames.square(0), id="K")]

    def told(*more):
        layers = frames.layers(infestations=weeds, releases=put, visits=[*seen, *more], treatments=over)
        return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)

    young = told()
    assert young.sites["state_words"][0] == (
        "too early to say (2026), now 50 %, if nothing has happened since 2026: to be known from 2028; release R2 "
        "of 2026-06-01; since herbicide T over 100 % of it, 2022-05-03."
    )
    assert young.releases["state"].tolist() == ["lost", "too early"]
    assert young.releases["state_words"][0] == "lost (2022): herbicide T over 100 % of it, 2022-05-03."
    assert [(one.releases, one.too_early) for one in young.rates] == [(2, 1)]
    # A find since, that names the release destroyed before it: whose it is, is not known.
    again = told(frames.row(frames.point(50), visit_id="v3", release_id="R1", date="2024-06-01", found=True))
    assert again.sites["state_words"][0].startswith("confirmed (2024), now 100 %")
    assert "found by v3; since herbicide T" in again.sites["state_words"][0]
    population = again.populations.iloc[0]
    assert (population["found_by"], population["release_ids"]) == ("v3", "R2")


def test_a_find_since_a_loss_names_no_release_destroyed_by_it(gather, frames):
    find = frames.row(frames.point(50), visit_id="v", release_id="R", date="2024-06-01", found=True)
    evidence = gather(seen=[find], treatments=[treatment(frames, frames.square(0))])
    assert evidence.populations[["found_by", "release_ids"]].to_numpy().tolist() == [["v", ""]]


def test_a_find_on_the_last_day_of_a_treatment_comes_after_it(gather, frames):
    find = frames.row(frames.point(50), visit_id="v", date="2022-05-03", found=True)
    evidence = gather(seen=[find], treatments=[treatment(frames, frames.square(0))])
    assert evidence.sites["state"][0] == "confirmed"
    assert evidence.sites["confirmed"][0]


def test_a_treatment_over_a_point_outside_every_patch_ends_it(gather, frames):
    assert shares(gather(treatments=[treatment(frames, frames.square(5000))])) == [0.5, 0.0]
    assert shares(gather(treatments=[treatment(frames, frames.square(5060))])) == [0.5, 0.5]


@pytest.mark.parametrize(
    ("result", "date", "host", "share"),
    [
        ("none found", "2020-07-01", "", 0.0),
        ("none found", "2020-07-01", "ashthorn", 0.0),
        ("none found", "2017-07-01", "", 0.5),  # before the release
        ("surveyed", "2020-07-01", "", 0.5),
        ("none found", "2020-07-01", "brindlebell", 0.5),
    ],
)
def test_a_survey_that_found_no_host_at_a_point_outside_ends_it(gather, frames, result, date, host, share):
    area = frames.row(frames.square(5000), id="S1", result=result, survey_date=date, host=host)
    evidence = gather(surveyed_areas=[area])
    assert shares(evidence) == [0.5, share]
    if not share:
        assert evidence.releases["state_words"][1] == (
            "lost (2020), now 0 % that it has come back: survey S1 found no ashthorn there, 2020-07-01; "
            "release O of 2018-06-01."
        )
        assert evidence.releases["state_year"][1] == pd.Timestamp(date).year
