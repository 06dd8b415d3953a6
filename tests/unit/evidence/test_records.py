"""Release and visit records held against patches, from layers to evidence."""

import numpy as np
import pandas as pd
import pytest
from geographiclib.geodesic import Geodesic

from geo_scout.evidence import gather_evidence
from geo_scout.sites import find_patches

NAMES = ("releases", "visits", "requests", "surveyed_areas", "treatments", "land_classes", "boundaries")


@pytest.fixture
def gather(frames):
    """Return the evidence on patches K1 (0 m), K2 (1,000 m) and K3 (9,000 m), a hectare each."""
    weeds = [frames.row(frames.square(w), id=f"K{n}") for n, w in enumerate((0, 1000, 9000), 1)]

    def run(establishment=None, weeds=weeds, **rows_of):
        agent = frames.agent(establishment={"prior_share": 0.5} | (establishment or {}))
        season = frames.season(agent)
        layers = frames.layers(infestations=weeds, **rows_of)
        return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)

    return run


@pytest.fixture
def release(frames):
    return lambda name, east_m, date, **more: frames.row(
        frames.point(east_m), release_id=name, date=date, **more
    )


@pytest.fixture
def visit(frames):
    return lambda name, east_m, of, date, found, **more: frames.row(
        frames.point(east_m), visit_id=name, release_id=of, date=date, found=found, **more
    )


def test_the_outcome_of_each_release_is_what_its_visits_say(gather, release, visit):
    evidence = gather(
        releases=[release(name, 50, "2015-06-01") for name in ("R1", "R2", "R3")],
        visits=[
            visit("v1", 50, "R1", "2018-06-01", True),
            visit("v2", 50, "R1", "2020-06-01", True),
            visit("v3", 50, "R1", "2021-06-01", False),
            visit("v4", 50, "R2", "2019-06-01", False),
            visit("v5", 50, "", "2019-06-01", True),
        ],
    )
    columns = ["release_id", "site_id", "outcome", "visits", "last_visit", "year_found"]
    day = pd.Timestamp
    expected = [
        ["R1", "ASHT-K1", "found", 3, day("2021-06-01"), 2020.0],
        ["R2", "ASHT-K1", "not found", 1, day("2019-06-01"), None],
        ["R3", "ASHT-K1", "not visited", 0, None, None],
    ]
    found = evidence.releases[columns].astype(object)
    assert found.where(found.notna(), None).to_numpy().tolist() == expected


def test_each_patch_has_its_records(gather, release, visit):
    evidence = gather(
        releases=[
            release("R2", 50, "2018-06-01"),
            release("R1", 60, "2016-06-01"),
            release("R3", 1050, "2020-06-01"),
            release("R4", 4000, "2020-06-01"),
        ],
        visits=[
            visit("v1", 50, "R1", "2019-06-01", True),
            visit("v2", 55, "", "2021-06-01", False),
            visit("v3", 1050, "", "2021-06-01", False),
        ],
    )
    sites = evidence.sites.set_index("site_id")
    assert sites["release_ids"].tolist() == ["R1; R2", "R3", ""]  # by day
    # No visit names R2 or R3, but somebody has been to both patches since.
    assert sites["unvisited_release_ids"].tolist() == ["", "", ""]
    first, latest = sites["first_release"], sites["latest_release"]
    assert first.dt.year.fillna(0).tolist() == [2016, 2020, 0]
    assert latest.dt.year.fillna(0).tolist() == [2018, 2020, 0]
    assert sites["confirmed"].tolist() == [True, False, False]
    assert sites["confirmed"].dtype == bool
    assert sites["confirmed_year"].fillna(0).tolist() == [2019, 0, 0]
    assert sites["confirmed_by"].tolist() == ["v1", "", ""]
    assert sites["latest_result"].tolist() == ["not found on 2021-06-01", "not found on 2021-06-01", ""]
    assert sites["population_id"].tolist() == ["ASHT-K1"] * 3


def test_a_find_soon_after_a_later_release_confirms_nothing_and_is_no_outcome(gather, release, visit):
    """The chance takes it for one of the agents just released, and so does everything else."""
    put = [release("R1", 50, "2018-06-01"), release("R2", 50, "2024-06-01")]
    seen = [visit("v1", 50, "R1", "2024-06-25", True)]
    evidence = gather({"first_detectable_years": 1.0}, releases=put, visits=seen)
    assert evidence.sites["confirmed"].tolist() == [False] * 3
    assert evidence.releases["outcome"].tolist() == ["found too early", "not visited"]
    assert evidence.releases["year_found"].isna().all()
    assert evidence.visits["says_nothing"].tolist() == ["it may be of the agents just released there"]
    assert [(one.revisited, one.found) for one in evidence.rates] == [(0, 0)]
    # A year after the later release it is a find.
    late = gather(
        {"first_detectable_years": 1.0}, releases=put, visits=[visit("v1", 50, "R1", "2025-06-01", True)]
    )
    assert late.sites["confirmed"].tolist() == [True, False, False]
    assert late.releases["outcome"].tolist() == ["found", "not visited"]
    assert [(one.revisited, one.found) for one in late.rates] == [(1, 1)]


def test_a_visit_dated_before_the_release_it_names_changes_nothing(gather, release, visit):
    put = [release("R", 50, "2020-06-01")]
    plain = gather({}, releases=put, visits=[])
    early = gather({}, releases=put, visits=[visit("v", 50, "R", "2019-06-01", True)])
    assert early.sites["presence_share"].tolist() == plain.sites["presence_share"].tolist()
    assert early.sites["state"].tolist() == plain.sites["state"].tolist()
    assert early.sites["confirmed"].tolist() == [False] * 3
    assert early.visits["says_nothing"].tolist() == ["it is dated before the release it names"]
    assert early.releases["outcome"].tolist() == ["found too early"]
    # One in vain before the release says nothing of it either.
    in_vain = gather({}, releases=put, visits=[visit("v", 50, "R", "2019-06-01", False)])
    assert in_vain.releases["outcome"].tolist() == ["not visited"]


def test_of_several_visits_on_one_day_a_find_decides(gather, visit):
    pair = [visit("a", 50, "", "2021-06-01", True), visit("b", 50, "", "2021-06-01", False)]
    for visits in (pair, pair[::-1]):
        assert gather(visits=visits).sites["latest_result"][0] == "found on 2021-06-01"


def test_a_find_too_early_is_the_latest_result_but_confirms_nothing(gather, release, visit):
    evidence = gather(
        {"years_to_confirm": 2.0},
        releases=[release("R", 50, "2020-06-01")],
        visits=[visit("v", 50, "R", "2021-06-01", True)],
    )
    assert evidence.sites["confirmed"].tolist() == [False] * 3
    assert evidence.sites["latest_result"].tolist() == ["found on 2021-06-01", "", ""]
    assert evidence.releases["outcome"].tolist() == ["found"]
    assert len(evidence.populations) == 0


def test_the_nearest_population_is_measured_edge_to_edge(gather, frames, visit):
    # In K3 (9,000 m) and a find outside every patch at 3,000 m, 900 m north.
    outside = visit("out", 3000, "", "2021-06-01", True) | {"geometry": frames.point(3000, 950)}
    sites = gather(visits=[visit("in", 9050, "", "2021-06-01", True), outside]).sites
    assert sites["population_id"].tolist() == ["at visit out", "at visit out", "ASHT-K3"]
    assert sites["population_name"].tolist() == ["find at visit out", "find at visit out", "ASHT-K3"]
    assert sites["confirmed"].tolist() == [False, False, True]
    there = frames.degrees(3000, 950)
    for patch, corner_m in ((0, (100, 100)), (1, (1100, 100))):
        here = frames.degrees(*corner_m)
        line = Geodesic.WGS84.Inverse(here[1], here[0], there[1], there[0])
        assert sites["population_distance_km"][patch] == pytest.approx(line["s12"] / 1000, abs=1e-6)
    assert sites["population_distance_km"][2] == 0.0
    only_inside = gather(visits=[visit("in", 9050, "", "2021-06-01", True)]).sites
    east, west = frames.degrees(1100, 0), frames.degrees(9000, 0)
    line = Geodesic.WGS84.Inverse(east[1], east[0], west[1], west[0])
    assert only_inside["population_distance_km"][1] == pytest.approx(line["s12"] / 1000, rel=1e-6)


def test_records_of_another_agent_are_not_evidence(gather, release, visit):
    evidence = gather(
        releases=[release("R", 50, "2015-06-01", agent="gall midge")],
        visits=[visit("v", 50, "", "2020-06-01", True, agent="gall midge")],
    )
    assert [len(evidence.releases), len(evidence.visits), len(evidence.populations)] == [0, 0, 0]
    assert not evidence.sites["confirmed"].any()


def test_a_purpose_comes_from_the_open_requests(gather, frames):
    request = frames.row(frames.point(1190), request_id="Q", purpose="nursery")  # 90 m off; join_m is 100
    assert gather(requests=[request]).sites[["request_ids", "purpose"]].to_numpy().tolist() == [
        ["", "new"],
        ["Q", "nursery"],
        ["", "new"],
    ]


def check_shape(evidence, sites=3):
    assert len(evidence.sites) == sites
    assert evidence.sites["confirmed"].dtype == bool
    for column in ("population_distance_km", "confirmed_year", "host_around_ha"):
        assert evidence.sites[column].dtype == float
    for column in ("first_release", "latest_release"):
        assert np.issubdtype(evidence.sites[column].dtype, np.datetime64)
    for table, column in ((evidence.populations, "last_found"), (evidence.visits, "date")):
        assert np.issubdtype(table[column].dtype, np.datetime64)
    assert {"outcome", "visits", "last_visit", "year_found", "site_id"} <= set(evidence.releases.columns)
    assert {"site_id", "found", "confirms", "years_since_release"} <= set(evidence.visits.columns)


@pytest.mark.parametrize("given", [{}, dict.fromkeys(NAMES, ()), {"releases": ()}, {"visits": ()}])
def test_no_record_no_evidence(gather, given):
    evidence = gather(**given)
    check_shape(evidence)
    assert evidence.sites["population_id"].tolist() == ["", "", ""]
    assert evidence.sites["population_distance_km"].isna().all()
    assert evidence.sites["release_ids"].tolist() == ["", "", ""]


def test_a_host_without_infestation_still_has_its_records(gather, release, visit):
    """Finds outside are populations even so: they are evidence of climate."""
    releases, visits = [release("R", 50, "2015-06-01")], [visit("v", 50, "R", "2020-06-01", True)]
    evidence = gather(weeds=[], releases=releases, visits=visits)
    check_shape(evidence, sites=0)
    assert evidence.populations["population_id"].tolist() == ["at release R"]
    check_shape(gather(weeds=[]), sites=0)
    check_shape(gather(weeds=[], **dict.fromkeys(NAMES, ())), sites=0)


def test_releases_without_visits_and_visits_without_releases(gather, release, visit):
    only_releases = gather(releases=[release("R", 50, "2015-06-01")])
    check_shape(only_releases)
    assert only_releases.releases["outcome"].tolist() == ["not visited"]
    assert only_releases.sites["unvisited_release_ids"].tolist() == ["R", "", ""]
    only_visits = gather(visits=[visit("v", 50, "", "2020-06-01", True)])
    check_shape(only_visits)
    assert only_visits.sites["confirmed"].tolist() == [True, False, False]
