"""What each patch could yield, from its visits; the arithmetic stands beside each number."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.evidence import gather_evidence
from geo_scout.model.supply import SUPPLY_COLUMNS
from geo_scout.sites import find_patches

SAID = {"hours_on_site": 8.0, "max_take": 1500, "halving_years": 2.0, "widening_per_yr": 1.5}
CAUGHT = "2024-11-01"  # 730 days before as_of, 2026-11-01: 1.9986 years
YEARS = 730 / 365.25


@pytest.fixture
def supply(frames):
    """Return the supply of K1 (0 m) and K2 (1,000 m), a hectare each, half of it infested."""
    weeds = [frames.row(frames.square(west), id=f"K{n}") for n, west in enumerate((0, 1000), 1)]

    def run(*visits, collecting=SAID, per_release=200, signs=()):
        release = {} if per_release is None else {"number_per_release": per_release}
        agent = frames.agent(collecting=collecting, release=release, signs=list(signs))
        season = frames.season(agent)
        rows = [
            frames.row(frames.point(east_m), visit_id=f"v{n}", release_id="", **visit)
            for n, (east_m, visit) in enumerate(visits)
        ]
        layers = frames.layers(infestations=weeds, visits=rows)
        return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent).supply

    return run


def catch(date=CAUGHT, count=400.0, effort_hours=2.0, method="sweep net", found=True, **more):
    return 50, {
        "date": date, "count": count, "effort_hours": effort_hours, "method": method, "found": found, **more,
    }  # fmt: skip


def test_a_catch_is_aged_and_counted_in_releases(supply):
    """200 an hour x 8 h = 1,600; half of it after two years; low and high over and times 1.5^2 = 2.25.

    High, 1,800, is cut at 1,500. Of 200 each: 1.78, 4, 7.5 releases; 200 / 100 an hour is 2 hours for one.
    """
    table = supply(catch())
    assert table.columns.tolist() == list(SUPPLY_COLUMNS)
    row = table.iloc[0]
    assert row["site_id"] == "ASHT-K1"
    assert row["catch_per_hour"] == 200.0
    assert row["catch_age_years"] == pytest.approx(YEARS)
    # The day of the year makes two years 1.9986, a twentieth of a per cent in halving and widening.
    assert row[["supply_low", "supply", "supply_high"]].tolist() == pytest.approx(
        [355.8, 800.4, 1500.0], abs=0.2
    )
    assert row[["releases_low", "releases", "releases_high"]].tolist() == pytest.approx(
        [1.779, 4.002, 7.5], abs=1e-3
    )
    assert row["hours_per_release"] == pytest.approx(2.0, abs=2e-3)
    assert row["supply_note"] == "200 per person-hour on 2024-11-01, 2.0 years before the season."
    assert table.iloc[1]["supply_note"] == "unknown: no catch with its count and hours on record."
    assert table.iloc[1].drop(["site_id", "supply_note"]).isna().all()


def test_the_newest_day_counts_and_catches_of_a_day_are_pooled(supply):
    """(100 + 20) / (1 + 2) = 40 an hour, not (100 + 10) / 2 = 55."""
    day = "2026-06-01"
    row = supply(
        catch("2020-06-01", 9000.0, 1.0), catch(day, 100.0, 1.0), catch(day, 20.0, 2.0), catch("2019-06-01")
    ).iloc[0]
    assert row["catch_date"] == pd.Timestamp(day)
    assert row["catch_per_hour"] == 40.0


@pytest.mark.parametrize(
    "no_catch",
    [
        {"count": 0.0},
        {"count": None},
        {"effort_hours": 0.0},
        {"effort_hours": None},
        {"method": "stem dissection"},
    ],
)
def test_what_is_no_catch_is_none(supply, no_catch):
    collecting = SAID | {"methods": ["Sweep Net"]}
    assert np.isnan(supply(catch(**no_catch), collecting=collecting)["supply"][0])
    both = supply(catch("2026-06-01", **no_catch), catch(), collecting=collecting)
    assert both["catch_per_hour"][0] == 200.0


def test_a_catch_outside_every_patch_belongs_to_none(supply):
    assert supply((5000, catch()[1]))["catch_per_hour"].isna().all()


@pytest.mark.parametrize(
    ("missing", "asked"),
    [
        ("hours_on_site", "hours_on_site (person-hours of collecting)"),
        ("max_take", "max_take (the most you allow to be taken)"),
        ("widening_per_yr", "widening_per_yr (how unsure a catch becomes)"),
        ("halving_years", "halving_years (how fast a catch is out of date)"),
    ],
)
def test_what_is_not_said_makes_the_supply_unknown_and_is_asked_for(supply, missing, asked):
    row = supply(catch(), collecting={name: value for name, value in SAID.items() if name != missing}).iloc[0]
    assert (
        row[["supply_low", "supply", "supply_high", "releases_low", "releases", "releases_high"]].isna().all()
    )
    assert row["catch_per_hour"] == 200.0
    assert row["supply_note"] == (
        "200 per person-hour on 2024-11-01, 2.0 years before the season. Unknown until [collecting] says: "
        f"{asked}."
    )


def test_a_fresh_catch_needs_no_halving_time(supply):
    """Of 2026-05-01, 184 days old: 1,600 is cut at 1,500; low 1,600 / 1.5^0.504 = 1,304."""
    collecting = {name: value for name, value in SAID.items() if name != "halving_years"}
    row = supply(catch("2026-05-01"), collecting=collecting).iloc[0]
    assert row[["supply_low", "supply", "supply_high"]].tolist() == pytest.approx(
        [1304.4, 1500.0, 1500.0], abs=0.1
    )
    assert "Unknown" not in row["supply_note"]


def test_without_the_size_of_a_release_agents_are_known_and_releases_are_not(supply):
    row = supply(catch(), per_release=None).iloc[0]
    assert row["supply"] == pytest.approx(800.4, abs=0.2)
    assert row[["releases", "hours_per_release"]].isna().all()
    assert row["supply_note"].endswith(
        "Releases are unknown until [release] number_per_release says how many make one."
    )


def test_a_visit_since_that_found_nothing_is_said(supply):
    later = catch("2026-07-01", None, 1.0, found=False)
    note = supply(catch(), later)["supply_note"][0]
    assert note == "200 per person-hour on 2024-11-01, 2.0 years before the season; not found on 2026-07-01."
    earlier = catch("2022-07-01", None, 1.0, found=False)
    assert "not found" not in supply(catch(), earlier)["supply_note"][0]


def test_a_count_on_a_known_area_gives_the_patch_total(supply):
    """30 on 60 m2 of 5,000 m2 infested (half of a hectare): 2,500; Garwood's limits of 30 are 20.24 and 42.83."""
    counted = catch("2025-06-01", 30.0, None, counted_area_m2=60.0)
    row = supply(counted).iloc[0]
    totals = row[["patch_total_low", "patch_total", "patch_total_high"]].astype(float)
    assert totals.tolist() == pytest.approx([20.24 / 60 * 5000, 2500.0, 42.83 / 60 * 5000], rel=3e-4)
    assert np.isnan(row["supply"])
    none_seen = catch("2025-06-01", 0.0, None, found=False, counted_area_m2=60.0)
    row = supply(none_seen).iloc[0]
    assert row["patch_total"] == 0.0
    assert row["patch_total_high"] == pytest.approx(3.689 / 60 * 5000, rel=3e-4)


def test_a_catch_without_an_area_gives_no_total(supply):
    assert supply(catch())["patch_total"].isna().all()


NET = {
    "name": "adults in the net", "methods": ["sweep net"], "first_day": "06-01", "last_day": "08-15",
    "found_share": 0.5, "effort_hours": 1.0,
}  # fmt: skip


def empty(date, hours=2.0):
    return catch(date, 0.0, hours, found=False)


def test_an_empty_catch_in_season_is_the_newest_one_and_leaves_a_high(supply):
    """None in 2 h: at most 3.688879 / 2 an hour x 8 h = 14.7555, aged 108 days (0.2957 years) on 2026-11-01.

    x 2^(-0.2957 / 2) = 0.90260 and x 1.5^0.2957 = 1.12737: 15.0147; of 200 each 0.0751 releases.
    """
    row = supply(catch("2025-07-01"), empty("2026-07-16"), signs=[NET]).iloc[0]
    assert (row["catch_per_hour"], row["supply_low"], row["supply"]) == (0.0, 0.0, 0.0)
    assert row["supply_high"] == pytest.approx(15.0147, abs=2e-3)
    assert row["releases_high"] == pytest.approx(0.0751, abs=1e-4)
    assert np.isnan(row["hours_per_release"])
    assert row["supply_note"].startswith("none per person-hour on 2026-07-16")


def test_an_empty_catch_out_of_season_or_where_nobody_ever_found_it_is_none(supply):
    before = supply(catch("2025-07-01"), signs=[NET]).iloc[0]
    after = supply(catch("2025-07-01"), empty("2026-10-01"), signs=[NET]).iloc[0]
    assert after["supply"] == before["supply"] > 0
    never = supply(empty("2026-07-16"), signs=[NET]).iloc[0]
    assert np.isnan(never["supply"])
    assert pd.isna(never["catch_date"])
