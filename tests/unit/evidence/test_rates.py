"""Three rates of hand-made releases: who counts as revisited, found, too early, and in which district."""

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from geo_scout.evidence.rates import districts_of, rate_outcomes
from geo_scout.evidence.signs import Sightings


def _sightings(found_share, wrong_share, young=None):
    count = len(found_share)
    shares = [np.repeat(np.array(one, dtype=float)[:, None], 3, axis=1) for one in (found_share, wrong_share)]
    return Sightings(
        np.zeros(count, int),
        np.ones(count),
        *shares,
        np.full(count, "", dtype=object),
        is_too_young=np.zeros(count, bool) if young is None else np.array(young),
        is_misdated=np.zeros(count, bool),
    )


@pytest.fixture
def rate(frames):
    """Return the rates of releases (id, district, state) and visits (release, found, d, f)."""

    def run(releases, visits=()):
        put = pd.DataFrame(releases, columns=["release_id", "district", "state"])
        seen = pd.DataFrame(visits, columns=["release_id", "found", "d", "f"])
        shapes = [frames.point(0.0)]
        return rate_outcomes(
            gpd.GeoDataFrame(put, geometry=shapes * len(put), crs=frames.PLANE),
            gpd.GeoDataFrame(seen, geometry=shapes * len(seen), crs=frames.PLANE),
            _sightings(seen["d"], seen["f"]),
        )

    return run


def test_all_come_first_then_districts_by_name_and_ground_outside_them_last(rate):
    rates = rate([("R1", "Tessock", "possible"), ("R2", "", "possible"), ("R3", "Orrin", "possible")])
    assert [(one.district, one.releases) for one in rates] == [
        ("", 3),
        ("Orrin", 1),
        ("Tessock", 1),
        ("not mapped", 1),
    ]
    assert [one.district for one in rate([("R1", "", "possible")])] == [""]


def test_too_early_and_unvisited_releases_are_told_apart(rate):
    releases = [
        ("R1", "", "confirmed"),
        ("R2", "", "unlikely"),
        ("R3", "", "possible"),
        ("R4", "", "too early"),
    ]
    visits = [("R1", True, 0.5, 0.0), ("R2", False, 0.5, 0.0), ("R4", False, 0.0, 0.0)]
    [all_of_them] = rate(releases, visits)
    assert (all_of_them.releases, all_of_them.too_early) == (4, 1)
    assert (all_of_them.revisited, all_of_them.found) == (2, 1)
    assert all_of_them.found_share == 0.5
    # One found, one unvisited of three that count.
    assert (all_of_them.least_share, all_of_them.most_share) == (1 / 3, 2 / 3)
    # 1 of 2 found by visits that find every second: 1 / (2 x 0.5).
    assert all_of_them.adjusted_share == 1.0


def test_a_visit_that_could_not_see_it_is_no_visit_but_a_find_counts_always(rate):
    [blind] = rate([("R1", "", "possible")], [("R1", False, 0.0, 0.0)])
    assert blind.revisited == 0
    assert (blind.least_share, blind.most_share) == (0.0, 1.0)
    [seen] = rate([("R1", "", "confirmed")], [("R1", True, 0.0, 0.0)])
    assert (seen.revisited, seen.found) == (1, 1)


def test_without_a_known_chance_of_finding_there_is_no_adjusted_rate(rate):
    [rates] = rate(
        [("R1", "", "confirmed"), ("R2", "", "possible")],
        [("R1", True, np.nan, 0.0), ("R2", False, np.nan, 0.0)],
    )
    assert (rates.revisited, rates.found) == (2, 1)
    assert np.isnan([rates.adjusted_share, rates.adjusted_low_share, rates.adjusted_high_share]).all()


def test_several_visits_to_a_release_multiply(rate):
    # Two failures at 0.5 leave 1 - 0.75 psi, one find psi / 2: 0 = 1 / psi - 0.75 / (1 - 0.75 psi), so psi = 2/3.
    visits = [("R1", False, 0.5, 0.0), ("R1", False, 0.5, 0.0), ("R2", True, 0.5, 0.0)]
    [rates] = rate([("R1", "", "unlikely"), ("R2", "", "confirmed")], visits)
    assert rates.adjusted_share == pytest.approx(2 / 3, abs=1e-9)


def test_a_thousand_failures_at_one_release_do_not_run_out_of_digits(rate):
    [rates] = rate([("R1", "", "lost")], [("R1", False, 0.9, 0.0)] * 1000)
    assert rates.adjusted_share == 0.0


def test_reports_that_fit_neither_presence_nor_absence_are_left_out(rate):
    # Sure to be found where it lives: found once, and once not.
    visits = [("R1", True, 1.0, 0.0), ("R1", False, 1.0, 0.0), ("R2", True, 0.5, 0.0)]
    [rates] = rate([("R1", "", "possible"), ("R2", "", "confirmed")], visits)
    assert (rates.revisited, rates.found) == (2, 2)
    assert rates.adjusted_share == 1.0


def test_a_visit_that_names_no_release_counts_for_none(rate):
    [rates] = rate([("R1", "", "possible")], [("", True, 0.5, 0.0), ("R9", True, 0.5, 0.0)])
    assert rates.revisited == 0


def test_no_release_gives_no_numbers(rate):
    [rates] = rate([])
    assert rates.releases == 0
    assert np.isnan([rates.found_share, rates.adjusted_share, rates.least_share, rates.most_share]).all()


def test_a_release_is_in_the_district_of_its_patch_or_else_of_its_point(frames):
    releases = gpd.GeoDataFrame(
        {"release_id": ["R1", "R2", "R3", "R4"], "site_id": ["A-1", "", "", ""]},
        geometry=[frames.point(east) for east in (5.0, 50.0, 150.0, 5000.0)],
        crs=frames.PLANE,
    )
    patches = gpd.GeoDataFrame(
        {"site_id": ["A-1"], "district": ["Tessock"]}, geometry=[frames.square(0)], crs=frames.PLANE
    )
    districts = gpd.GeoDataFrame(
        {"district": ["Orrin", "Saltwick"]},
        geometry=[frames.square(0), shapely.box(0, 0, 200, 100)],
        crs=frames.PLANE,
    )
    # R2 lies in both; the first wins.
    assert districts_of(releases, patches, districts).tolist() == ["Tessock", "Orrin", "Saltwick", ""]
    assert districts_of(releases, patches, None).tolist() == ["Tessock", "", "", ""]
