"""What the picture of the history is told: districts, days of loss, visits that say nothing."""

import pytest

from geo_scout.evidence import gather_evidence
from geo_scout.sites import find_patches


@pytest.fixture
def gather(frames):
    """Return the evidence on one patch of a hectare at 0 m, in a district of 2 km."""
    sign = {
        "name": "adults", "methods": ["net"], "first_day": "06-01", "last_day": "06-30",
        "found_share": 0.5, "effort_hours": 1,
    }  # fmt: skip

    def run(**rows_of):
        agent = frames.agent(establishment={"prior_share": 0.5, "first_detectable_years": 1}, signs=[sign])
        season = frames.season(agent, records={"loss_kinds": ["herbicide"]})
        district = frames.row(frames.square(-1000, -1000, 2000), district="Orrin", jurisdiction="North")
        weeds = [frames.row(frames.square(0), id="K1")]
        layers = frames.layers(infestations=weeds, boundaries=[district], **rows_of)
        return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)

    return run


@pytest.fixture
def releases(frames):
    places = [("R1", 50, "2019-06-10"), ("R2", 50, "2023-06-10"), ("R3", 9000, "2019-06-10")]
    return [frames.row(frames.point(east), release_id=name, date=date) for name, east, date in places]


def test_a_release_carries_its_district_and_the_losses_after_it(gather, frames, releases):
    sprayings = [
        frames.row(frames.square(-10, -10, 200), treatment_id=f"T{n}", kind=kind, start=day, end=day)
        for n, (kind, day) in enumerate(
            (("herbicide", "2021-05-01"), ("mowing", "2022-05-01"), ("herbicide", "2018-05-01"))
        )
    ]
    told = gather(releases=releases, treatments=sprayings).releases
    assert told["district"].tolist() == ["Orrin", "Orrin", ""]
    assert told["lost_on"].tolist() == ["2021-05-01", "", ""]
    assert gather(releases=releases).releases["lost_on"].tolist() == ["", "", ""]


def test_only_a_visit_that_found_nothing_can_say_nothing(gather, frames, releases):
    days = [("V1", "2021-06-10", False), ("V2", "2021-08-10", False), ("V3", "2021-08-11", True)]
    visits = [
        frames.row(
            frames.point(50),
            visit_id=name,
            release_id="R1",
            date=day,
            found=found,
            method="net",
            effort_hours=1.0,
        )
        for name, day, found in days
    ]
    told = gather(releases=releases, visits=visits).visits
    assert told["says_nothing"].tolist() == ["", "it cannot be seen on that day", ""]


def test_the_rates_are_handed_on(gather, releases):
    rates = gather(releases=releases).rates
    assert [(one.district, one.releases, one.revisited) for one in rates] == [
        ("", 3, 0),
        ("Orrin", 2, 0),
        ("not mapped", 1, 0),
    ]
