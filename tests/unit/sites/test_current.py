"""The newest survey wins: squares of 100 m, one hectare each, drawn over one another."""

import pytest
import shapely

from geo_scout.sites.current import keep_current


@pytest.fixture
def keep(frames):
    """Return what is left of infestations, as {id: hectares}, and the ids of those that lost everything."""

    def run(weeds, surveys=None):
        layer = None if surveys is None else frames.layer("surveyed_areas", surveys)
        current, findings = keep_current(frames.layer("infestations", weeds), layer)
        assert current.index.tolist() == list(range(len(current)))
        left = {one.id: round(one.geometry.area / 1e4, 9) for one in current.itertuples()}
        return left, [finding.feature for finding in findings]

    return run


def weed(frames, name, west_m, date=None, **given):
    return frames.row(frames.square(west_m), id=name, survey_date=date, **given)


def test_the_newer_survey_keeps_the_ground_it_shares_with_the_older(frames, keep):
    old, new = weed(frames, "old", 0, "2015-06-01"), weed(frames, "new", 60, "2020-06-01")
    assert keep([old, new]) == ({"old": 0.6, "new": 1.0}, [])
    assert keep([new, old]) == ({"new": 1.0, "old": 0.6}, [])


def test_on_one_day_the_first_in_the_file_keeps_the_ground(frames, keep):
    a, b = weed(frames, "a", 0, "2020-06-01"), weed(frames, "b", 60, "2020-06-01")
    assert keep([a, b]) == ({"a": 1.0, "b": 0.6}, [])
    assert keep([b, a]) == ({"b": 1.0, "a": 0.6}, [])


def test_an_undated_survey_is_older_than_every_dated_one(frames, keep):
    undated, dated = weed(frames, "undated", 0), weed(frames, "dated", 60, "1931-01-01")
    assert keep([undated, dated]) == ({"undated": 0.6, "dated": 1.0}, [])
    assert keep([undated, weed(frames, "also undated", 60)]) == ({"undated": 1.0, "also undated": 0.6}, [])


def test_three_surveys_in_a_row_each_lose_to_every_newer_one(frames, keep):
    weeds = [weed(frames, "2010", 0, "2010-05-01"), weed(frames, "2015", 40, "2015-05-01")]
    weeds.append(weed(frames, "2020", 80, "2020-05-01"))
    # 2010 keeps 0-40, 2015 keeps 40-80, 2020 all of 80-180.
    assert keep(weeds) == ({"2010": 0.4, "2015": 0.4, "2020": 1.0}, [])


def test_ground_lost_twice_over_is_lost_once(frames, keep):
    weeds = [weed(frames, "2010", 0, "2010-05-01"), weed(frames, "2015", 50, "2015-05-01")]
    surveys = [frames.row(frames.square(50, size_m=500), survey_date="2012-05-01")]
    assert keep(weeds, surveys) == ({"2010": 0.5, "2015": 1.0}, [])


def test_a_survey_removes_older_cover_but_not_cover_of_its_day_or_newer(frames, keep):
    weeds = [
        weed(frames, "older", 0, "2019-06-30"),
        weed(frames, "same day", 200, "2019-07-01"),
        weed(frames, "newer", 400, "2019-07-02"),
        weed(frames, "undated", 600),
    ]
    survey = frames.row(shapely.box(-10, 50, 1000, 200), survey_date="2019-07-01", result="none found")
    assert keep(weeds, [survey]) == ({"older": 0.5, "same day": 1.0, "newer": 1.0, "undated": 0.5}, [])


def test_a_survey_that_found_the_host_removes_older_cover_too(frames, keep):
    survey = frames.row(frames.square(50), survey_date="2020-01-01", result="surveyed")
    assert keep([weed(frames, "old", 0, "2019-01-01")], [survey]) == ({"old": 0.5}, [])


def test_a_row_that_found_none_removes_older_cover_and_is_no_infestation_itself(frames, keep):
    old, same = weed(frames, "old", 0, "2015-05-01"), weed(frames, "same day", 30, "2020-05-01", row=9)
    none = weed(frames, "none", 60, "2020-05-01", result="none found")
    # The row of the same day stays whole whichever comes first; it takes 30-100 from the old one itself.
    assert keep([none, old, same]) == ({"old": 0.3, "same day": 1.0}, [])
    assert keep([old, none]) == ({"old": 0.6}, [])
    assert keep([none]) == ({}, [])


def test_an_infestation_without_ground_left_is_named_in_a_finding(frames):
    weeds = [
        weed(frames, "K7", 0, "2015-06-01"),
        weed(frames, "", 0, row=41),
        weed(frames, "new", 0, "2020-06-01"),
    ]
    _, findings = keep_current(frames.layer("infestations", weeds), None)
    assert [(f.code, f.grade, f.layer, f.feature) for f in findings] == [
        ("superseded", "note", "infestations", "K7"),
        ("superseded", "note", "infestations", "row 41"),
    ]
    assert findings[0].what.startswith("the survey of 2015-06-01 lies wholly inside newer ones")
    assert findings[1].what.startswith("the survey undated lies wholly inside newer ones")
    longitude_deg, latitude_deg = frames.degrees(50, 50)
    assert findings[0].longitude_deg == pytest.approx(longitude_deg, abs=1e-3)
    assert findings[0].latitude_deg == pytest.approx(latitude_deg, abs=1e-3)


def test_touching_costs_nothing_and_crumbs_are_no_infestation(frames, keep):
    new = weed(frames, "new", 100, "2020-06-01")
    assert keep([weed(frames, "touching", 0, "2015-06-01"), new]) == ({"touching": 1.0, "new": 1.0}, [])
    crumb = frames.row(shapely.box(99.995, 0, 200, 100), id="crumb", survey_date="2015-06-01")
    assert keep([crumb, new]) == ({"new": 1.0}, ["crumb"])  # 0.5 m2 of 10,000 was left


def test_a_single_plant_is_no_crumb(frames, keep):
    plant = frames.row(shapely.box(0, 0, 1, 0.5), id="plant", survey_date="2015-06-01")
    half = frames.row(shapely.box(0.5, -10, 10, 10), survey_date="2020-06-01")
    assert keep([plant], [half]) == ({"plant": 0.000025}, [])


def test_a_hole_and_an_island_are_cut_as_drawn(frames, keep):
    ring = frames.square(0, 0, 300).difference(frames.square(100, 100, 100))
    island = weed(frames, "in the hole", 100, "2010-05-01") | {"geometry": frames.square(100, 100)}
    weeds = [frames.row(ring, id="ring", survey_date="2020-05-01"), island]
    assert keep(weeds) == ({"ring": 8.0, "in the hole": 1.0}, [])


def test_no_infestation_and_no_survey(frames, keep):
    assert keep([]) == ({}, [])
    assert keep([], []) == ({}, [])
    assert keep([weed(frames, "a", 0)], []) == ({"a": 1.0}, [])
