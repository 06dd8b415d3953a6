"""Areas, cover, dates and permission of patches by hand; members are rectangles of whole hectares."""

import datetime as dt
import math

import numpy as np
import pandas as pd
import pytest
import shapely

from geo_scout.sites.patch_table import describe_patches

NAN = math.nan


@pytest.fixture
def describe(frames):
    def run(*members, as_of=dt.date(2026, 11, 1)):
        rows = [one | {"geometry": shapely.box(0, 0, 100, 100 * one["ha"])} for one in members]
        frame = frames.layer("infestations", rows).assign(
            site_id=[one.get("site_id", "A-1") for one in members],
            member_id=[one.get("id", "") for one in members],
            district="D",
            jurisdiction="J",
        )
        frame["gross_ha"] = frame.area / 1e4
        return describe_patches(frame, "ashthorn", as_of)

    return run


def cover(low, best, high):
    return {"cover_low_share": low, "cover_share": best, "cover_high_share": high}


def test_infested_area_is_gross_area_times_cover_summed_over_the_members(describe):
    patch = describe({"ha": 3, **cover(0.25, 0.4, 0.5)}, {"ha": 1, **cover(0.75, 0.8, 1.0)}).iloc[0]
    assert patch["infested_ha"] == pytest.approx(3 * 0.4 + 1 * 0.8)  # 2.0 of 3 and 1 ha
    assert patch["infested_low_ha"] == pytest.approx(3 * 0.25 + 0.75)
    assert patch["infested_high_ha"] == pytest.approx(3 * 0.5 + 1.0)
    assert patch["gross_ha"] == pytest.approx(4.0)
    assert patch["cover_pct"] == pytest.approx(50.0)
    assert patch["cover_low_pct"] == pytest.approx(37.5)
    assert patch["cover_high_pct"] == pytest.approx(62.5)


def test_unknown_cover_makes_infested_area_unknown_between_its_limits(describe):
    patch = describe({"ha": 3, **cover(0.2, 0.3, 0.4)}, {"ha": 1, **cover(NAN, NAN, NAN)}).iloc[0]
    assert np.isnan(patch["infested_ha"])
    assert np.isnan(patch["cover_pct"])
    assert patch["infested_low_ha"] == pytest.approx(0.6)  # none of the unknown hectare
    assert patch["infested_high_ha"] == pytest.approx(2.2)  # all of it
    assert patch["cover_low_pct"] == pytest.approx(15.0)
    assert patch["cover_high_pct"] == pytest.approx(55.0)


def test_unknown_cover_of_one_patch_does_not_touch_another(describe):
    table = describe(
        {"ha": 1, "site_id": "A-1", **cover(NAN, NAN, NAN)},
        {"ha": 2, "site_id": "A-2", **cover(0.5, 0.5, 0.5)},
    )
    assert table["site_id"].tolist() == ["A-1", "A-2"]
    assert table["infested_ha"].fillna(-1).tolist() == pytest.approx([-1, 1.0])


def test_no_cover_at_all_is_zero_not_unknown(describe):
    assert describe({"ha": 2, **cover(0.0, 0.0, 0.0)}).iloc[0]["infested_ha"] == 0.0


def test_survey_dates_and_age(describe):
    table = describe(
        {"ha": 1, "site_id": "A-1", "survey_date": "2016-11-01"},
        {"ha": 1, "site_id": "A-1", "survey_date": "2022-11-01"},
        {"ha": 1, "site_id": "A-1"},
        {"ha": 1, "site_id": "A-2"},
    )
    assert table["survey_date"].tolist() == [pd.Timestamp("2022-11-01"), pd.NaT]
    assert table["survey_date_oldest"].tolist() == [pd.Timestamp("2016-11-01"), pd.NaT]
    assert table["survey_age_years"].tolist() == pytest.approx([1461 / 365.25, NAN], nan_ok=True)  # 4 years


@pytest.mark.parametrize(
    ("answers", "together"),
    [
        (["yes", "yes"], "yes"),
        (["yes", "unknown"], "unknown"),
        (["unknown"], "unknown"),
        (["no", "no"], "no"),
    ],
)
def test_permission_is_what_every_member_says(describe, answers, together):
    assert describe(*({"ha": 1, "permission": one} for one in answers))["permission"].tolist() == [together]


def test_the_name_is_that_of_the_largest_named_member(describe):
    table = describe(
        {"ha": 1, "name": "small"},
        {"ha": 3, "name": "large"},
        {"ha": 9, "name": ""},
        {"ha": 1, "site_id": "A-2"},
    )
    assert table["name"].tolist() == ["large", ""]


def test_each_member_is_named_once(describe):
    assert describe({"ha": 1, "id": "K2"}, {"ha": 1, "id": "K1"}, {"ha": 1, "id": "K2"})[
        "member_ids"
    ].tolist() == ["K2; K1"]


def test_the_place_lies_inside_the_patch_whatever_its_shape(frames):
    horseshoe = shapely.box(0, 0, 900, 900).difference(shapely.box(100, 100, 1000, 800))
    frame = frames.layer("infestations", [frames.row(horseshoe)]).assign(
        site_id="A-1", member_id="K1", gross_ha=1.0, district="", jurisdiction=""
    )
    patch = describe_patches(frame, "ashthorn", dt.date(2026, 1, 1))
    inside = shapely.Point(patch["longitude_deg"][0], patch["latitude_deg"][0])
    assert patch.geometry.to_crs(4326)[0].contains(inside)
    assert not patch.geometry[0].contains(patch.geometry[0].centroid)
    assert patch["utm_zone"].tolist() == ["12N"]
    eastings = patch.geometry.to_crs(32612)[0]
    assert eastings.contains(shapely.Point(patch["easting_m"][0], patch["northing_m"][0]))


def test_a_patch_of_overlapping_finds_is_one_outline_without_seams(frames):
    # Twelve circles round a ring, each cut along the ones before it as surveys of one day are.
    turns = np.radians(np.arange(0, 360, 30))
    circles = shapely.buffer(shapely.points(100 * np.cos(turns), 100 * np.sin(turns)), 40.0)
    kept = [one.difference(shapely.union_all(circles[:at])) for at, one in enumerate(circles)]
    frame = frames.layer("infestations", [frames.row(one) for one in kept]).assign(
        site_id="A-1", member_id="K1", gross_ha=0.5, district="", jurisdiction=""
    )
    [outline] = describe_patches(frame, "ashthorn", dt.date(2026, 1, 1)).geometry
    whole = shapely.union_all(circles)
    # The ring has its hole in the middle and no other; its length is that of the circles put together uncut.
    assert len(outline.interiors) == len(whole.interiors) == 1
    assert outline.length == pytest.approx(whole.length, abs=0.1)
    assert outline.area == pytest.approx(whole.area, abs=0.5)


def test_no_member_no_patch(describe):
    table = describe()
    assert len(table) == 0
    assert table["infested_ha"].dtype == float
