import random

import pytest

AGENT = "stem weevil"
# 0.001 degrees of latitude are 111 m here.
METRE = 0.001 / 111.2


def rows(kind, records):
    head = {
        "R": ["release_id", "agent", "date"],
        "V": ["visit_id", "agent", "date", "result", "release_date"],
    }
    return [[*head[kind], "longitude_deg", "latitude_deg"], *records]


def at(north_m):
    return ["-110", f"{47 + north_m * METRE:.7f}"]


def release(name, date, north_m, agent=AGENT):
    return [name, agent, date, *at(north_m)]


def visit(name, date, north_m, release_date="", agent=AGENT):
    return [name, agent, date, "found", release_date, *at(north_m)]


@pytest.fixture
def joined(folder):
    def read(releases, visits, **records):
        folder.records = records
        folder.write_table("releases", rows("R", releases))
        folder.write_table("visits", rows("V", visits))
        layers = folder.read()
        frame = layers.vectors["visits"]
        return layers, dict(zip(frame["visit_id"], frame["release_id"], strict=True))

    return read


def test_without_a_distance_nothing_is_joined_by_place(joined):
    layers, link = joined([release("R1", "2020-06-01", 0)], [visit("V1", "2022-06-01", 5)])
    assert link == {"V1": ""}
    assert layers.vectors["visits"]["release_link"].tolist() == [""]


def test_the_nearest_earlier_release_of_the_same_agent(joined, told):
    releases = [
        release("R1", "2020-06-01", 0),
        release("R2", "2021-06-01", 60),
        release("R3", "2023-06-01", 90),
        release("R4", "2019-06-01", 99, agent="leaf beetle"),
    ]
    visits = [visit("V1", "2022-06-01", 100), visit("V2", "2020-12-01", 100), visit("V3", "2022-06-01", 400)]
    layers, link = joined(releases, visits, link_m=150.0)
    assert link == {"V1": "R2", "V2": "R1", "V3": ""}
    assert layers.vectors["visits"]["release_link"].tolist() == ["place", "place", ""]
    assert told(layers, "visits-joined") == (
        "note: layers.visits\n"
        "  2 visits (V1, V2) without a release_id were joined to the nearest earlier release of the agent within "
        "150 m (link_m); a stated release_date may be 30 days off (link_days).\n"
        "  Fix: Write the release_id where that is not the release visited."
    )


@pytest.mark.parametrize(
    ("second", "why"),
    [(("2021-06-01", 0.7), "as near"), (("2020-06-01", 80), "of the same day")],
)
def test_two_releases_between_which_nothing_decides(joined, told, second, why):
    layers, link = joined(
        [release("R1", "2020-06-01", 0), release("R2", *second)], [visit("V1", "2022-06-01", 0)], link_m=150.0
    )
    assert link == {"V1": ""}, why
    far = "1" if second[1] < 1 else "80"
    assert told(layers, "visit-link-unclear") == (
        "caution: layers.visits feature V1\n"
        f"  it names no release, and several come into question: R1 of 2020-06-01 (0 m away), R2 of {second[0]} "
        f"({far} m away); it counts for its place alone.\n"
        "  Fix: Write the release_id, or the release_date, of the one that was visited."
    )


def test_a_stated_release_date_decides_between_releases_of_one_place(joined):
    releases = [
        release("R1", "2020-06-01", 0),
        release("R2", "2020-06-20", 0),
        release("R3", "2021-06-01", 0),
    ]
    visits = [
        visit("V1", "2022-06-01", 0, "2020-06-18"),
        visit("V2", "2022-06-01", 0, "2021-05-25"),
        visit("V3", "2022-06-01", 0, "2019-06-01"),
    ]
    _, link = joined(releases, visits, link_m=150.0, link_days=30)
    assert link == {"V1": "R2", "V2": "R3", "V3": ""}
    _, without = joined(releases, visits)
    assert without == link, "a stated date needs no distance: the uncertainty of both positions is one"


def test_a_visit_that_names_an_unknown_release_is_not_joined_by_place(folder):
    folder.records = {"link_m": 150.0}
    folder.write("releases", [folder.point()], release_id="R1", agent=AGENT, date="2020-06-01")
    folder.write("visits", [folder.point()], visit_id="V1", release_id="R77", agent=AGENT, date="2022-06-01",
                 result="found")  # fmt: skip
    assert folder.read().vectors["visits"]["release_id"].tolist() == [""]


def test_the_order_of_the_records_does_not_matter(joined):
    releases = [release(f"R{n}", f"20{10 + n % 9}-06-{1 + n % 28:02}", 37 * n % 500) for n in range(20)]
    visits = [visit(f"V{n}", f"20{12 + n % 10}-07-01", 53 * n % 500) for n in range(20)]
    _, link = joined(releases, visits, link_m=40.0)
    assert set(link.values()) > {""}
    shuffled = random.Random(3)
    shuffled.shuffle(releases)
    shuffled.shuffle(visits)
    assert joined(releases, visits, link_m=40.0)[1] == link


def test_a_distance_that_would_join_visits_is_told(joined, told):
    # V1 lies 45 m off, within 30 + 30 m: 50 m is the next round number. V2 lies beyond, V3 before.
    releases = [release("R1", "2020-06-01", 0), release("R2", "2020-06-01", 900, agent="leaf beetle")]
    visits = [visit("V1", "2022-06-01", 45), visit("V2", "2022-06-01", 75), visit("V3", "2019-06-01", 5),
              visit("V4", "2022-06-01", 901)]  # fmt: skip
    layers, link = joined(releases, visits)
    assert set(link.values()) == {""}
    assert told(layers, "visits-could-join") == (
        "note: layers.visits\n"
        "  1 visit (V1) names no release, and its position lies within both uncertainties of an earlier release of "
        "the agent; without link_m a visit that names none counts for its place alone.\n"
        "  Fix: To join visits to the nearest earlier release, write under [records]: link_m = 50"
    )
    layers, link = joined(releases, visits, link_m=50.0)
    assert link["V1"] == "R1"
    assert "visits-could-join" not in {one.code for one in layers.findings}


def test_a_distance_that_joins_nobody_is_not_told(joined):
    releases = [release("R1", "2020-06-01", 0), release("R2", "2020-06-01", 3)]
    layers, _ = joined(releases, [visit("V1", "2022-06-01", 1)])
    assert "visits-could-join" not in {one.code for one in layers.findings}, "of two of one day"
