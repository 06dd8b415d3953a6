"""Finds that confirm, and the populations they make: two patches of a hectare, 0 and 1,000 m east."""

import geopandas as gpd
import pandas as pd
import pytest
import shapely

from geo_scout.evidence.placing import place_records
from geo_scout.evidence.populations import COLUMNS, confirm_finds, gather_populations
from geo_scout.model.setting import Sourced

INSIDE, ALSO_INSIDE, OUTSIDE = 50, 80, 5000


@pytest.fixture
def patches(frames):
    return gpd.GeoDataFrame(
        {"site_id": ["A-1", "A-2"], "name": ["", "Reed Flat"]},
        geometry=[frames.square(0), frames.square(1000)],
        crs=frames.PLANE,
    )


@pytest.fixture
def gather(frames, patches):
    """Return the visits as judged and the populations, from short rows of releases and visits."""

    def run(releases, visits, years=2.0, void=()):
        put = [frames.row(frames.point(e), release_id=name, date=date) for name, e, date in releases]
        seen = [
            frames.row(
                frames.point(e), visit_id=name, release_id=release, date=date, found=result == "found", row=n
            )
            for n, (name, e, release, date, result) in enumerate(visits, 1)
        ]
        placed = [
            place_records(frames.layer(*one), patches).assign(era=0, is_current=True)
            for one in (("releases", put), ("visits", seen))
        ]
        needed = None if years is None else Sourced[float](value=years)
        judged = confirm_finds(
            placed[1], placed[0], needed, placed[1]["visit_id"].isin(list(void)).to_numpy()
        )
        return judged, gather_populations(judged, placed[0], patches)

    return run


def confirming(gather, releases, visits, **given):
    judged, _ = gather(releases, visits, **given)
    return judged.loc[judged["confirms"], "visit_id"].tolist()


def test_a_find_too_early_after_the_release_does_not_confirm_and_a_later_one_does(gather):
    visits = [
        ("early", INSIDE, "R", "2021-06-01", "found"),
        ("late", INSIDE, "R", "2023-06-01", "found"),
        ("none", INSIDE, "R", "2024-06-01", "not found"),
    ]
    assert confirming(gather, [("R", INSIDE, "2020-06-01")], visits) == ["late"]
    assert confirming(gather, [("R", INSIDE, "2020-06-01")], visits, years=None) == ["early", "late"]


@pytest.mark.parametrize(
    ("years", "last_day_too_early"), [(1, "2021-05-31"), (2, "2022-05-31"), (3, "2023-05-31")]
)
def test_the_anniversary_counts_as_full_years(gather, years, last_day_too_early):
    release = [("R", INSIDE, "2020-06-01")]
    anniversary = f"{2020 + years}-06-01"
    visits = [("eve", INSIDE, "R", last_day_too_early, "found"), ("day", INSIDE, "R", anniversary, "found")]
    assert "day" in confirming(gather, release, visits, years=float(years))
    day_before_eve = str((pd.Timestamp(last_day_too_early) - pd.Timedelta(days=1)).date())
    assert (
        confirming(gather, release, [("v", INSIDE, "R", day_before_eve, "found")], years=float(years)) == []
    )


def test_the_first_release_in_the_patch_counts_whichever_the_visit_names(gather):
    releases = [("old", INSIDE, "2018-06-01"), ("new", ALSO_INSIDE, "2022-06-01")]
    assert confirming(gather, releases, [("v", INSIDE, "new", "2022-08-01", "found")]) == ["v"]
    assert confirming(gather, releases, [("v", INSIDE, "", "2022-08-01", "found")]) == ["v"]
    assert confirming(gather, releases[1:], [("v", INSIDE, "", "2022-08-01", "found")]) == []
    elsewhere = [("old", OUTSIDE, "2018-06-01"), releases[1]]
    assert confirming(gather, elsewhere, [("v", INSIDE, "new", "2022-08-01", "found")]) == []
    judged, _ = gather(releases, [("v", INSIDE, "new", "2022-06-01", "found")])
    assert judged["years_since_release"].tolist() == pytest.approx([1461 / 365.25])


def test_a_find_with_no_known_release_confirms_at_once(gather):
    visits = [("in", INSIDE, "", "2019-06-01", "found"), ("out", OUTSIDE, "", "2019-06-01", "found")]
    assert confirming(gather, [], visits) == ["in", "out"]
    # A release made later is not where that find came from.
    assert confirming(gather, [("R", INSIDE, "2020-06-01")], visits) == ["in", "out"]


def test_a_find_dated_before_the_release_it_names_confirms_nothing(gather):
    visits = [("v", INSIDE, "R", "2019-06-01", "found")]
    assert confirming(gather, [("R", INSIDE, "2020-06-01")], visits) == []
    assert confirming(gather, [("R", INSIDE, "2020-06-01")], visits, years=None) == []


def test_finds_in_one_patch_are_one_population_with_its_ground(gather, patches):
    releases = [("R2", 1050, "2015-06-01"), ("R1", 1020, "2016-06-01"), ("R3", OUTSIDE, "2016-06-01")]
    visits = [
        ("v3", 1050, "R2", "2021-06-01", "found"),
        ("v1", 1020, "", "2019-06-01", "found"),
        ("v2", 1020, "R3", "2020-06-01", "found"),
        ("early", 1020, "R1", "2015-07-01", "found"),
    ]
    _, found = gather(releases, visits)
    assert list(found.columns) == [*COLUMNS, "geometry"]
    assert found.drop(columns="geometry").to_numpy().tolist() == [
        [
            "A-2",
            "Reed Flat",
            "A-2",
            pd.Timestamp("2019-06-01"),
            pd.Timestamp("2021-06-01"),
            "v1; v2; v3",
            "R1; R2; R3",
            "found",
            False,
        ]
    ]
    assert found.geometry[0].equals(patches.geometry[1])
    assert found.crs == patches.crs


def test_a_patch_without_a_name_goes_by_its_id(gather):
    assert gather([], [("v", INSIDE, "", "2020-06-01", "found")])[1]["name"].tolist() == ["A-1"]


def test_finds_outside_are_one_population_by_release_and_else_one_each(gather):
    visits = [
        ("v1", OUTSIDE, "R", "2020-06-01", "found"),
        ("v2", OUTSIDE + 500, "R", "2021-06-01", "found"),
        ("v3", OUTSIDE, "", "2021-06-01", "found"),
        ("v4", OUTSIDE + 100, "", "2022-06-01", "found"),
    ]
    _, found = gather([("R", OUTSIDE, "2015-06-01")], visits)
    assert found["population_id"].tolist() == ["at release R", "at visit v3", "at visit v4"]
    assert found["name"].tolist() == ["find at release R", "find at visit v3", "find at visit v4"]
    assert found["site_id"].tolist() == ["", "", ""]
    assert found["found_by"].tolist() == ["v1; v2", "v3", "v4"]
    assert found["release_ids"].tolist() == ["R", "", ""]
    assert found.geometry[0].equals(shapely.MultiPoint([(OUTSIDE, 50), (OUTSIDE + 500, 50)]))
    assert found.geometry[1].equals(shapely.Point(OUTSIDE, 50))


def test_a_release_and_a_visit_of_the_same_number_are_not_mistaken_for_each_other(gather):
    visits = [("1", OUTSIDE, "7", "2020-06-01", "found"), ("7", 90_000, "", "2021-06-01", "found")]
    _, found = gather([("7", OUTSIDE, "2015-06-01")], visits)
    assert found["found_by"].tolist() == ["1", "7"]


def test_the_latest_result_tells_when_it_was_looked_for_in_vain_afterwards(gather):
    visits = [
        ("v0", INSIDE, "", "2018-06-01", "not found"),
        ("v1", INSIDE, "", "2019-06-01", "found"),
        ("v2", INSIDE, "", "2020-06-01", "not found"),
        ("v3", INSIDE, "", "2021-06-01", "not found"),
        ("v4", 1050, "", "2019-06-01", "found"),
        ("v5", 1050, "", "2019-06-01", "not found"),
    ]
    _, found = gather([], visits)
    assert found["latest_result"].tolist() == ["not found on 2021-06-01", "found"]
    again = [*visits, ("v6", INSIDE, "", "2022-06-01", "found")]
    assert gather([], again)[1]["latest_result"].tolist() == ["found", "found"]


def test_a_visit_in_vain_somewhere_else_says_nothing_of_a_lone_find(gather):
    visits = [
        ("v1", OUTSIDE, "", "2019-06-01", "found"),
        ("v2", 90_000, "", "2021-06-01", "not found"),
        ("v3", OUTSIDE, "R", "2019-06-01", "found"),
        ("v4", OUTSIDE, "R", "2021-06-01", "not found"),
    ]
    _, found = gather([("R", OUTSIDE, "2015-06-01")], visits)
    assert dict(zip(found["population_id"], found["latest_result"], strict=True)) == {
        "at release R": "not found on 2021-06-01",
        "at visit v1": "found",
    }


def test_nothing_found(gather):
    for visits in ([], [("v", INSIDE, "", "2020-06-01", "not found")]):
        judged, found = gather([("R", INSIDE, "2015-06-01")], visits)
        assert len(found) == 0
        assert list(found.columns) == [*COLUMNS, "geometry"]
        assert judged["confirms"].dtype == bool


def test_a_find_that_changes_nothing_confirms_nothing(gather):
    rows = [("R", INSIDE, "2015-06-01")], [("v", INSIDE, "R", "2020-06-01", "found")]
    assert gather(*rows)[0]["confirms"].tolist() == [True]
    judged, found = gather(*rows, void=["v"])
    assert judged["confirms"].tolist() == [False]
    assert len(found) == 0
