"""Where the agent comes from, how far off that is, and what arrives each year, against plain loops."""

import datetime as dt
import math

import numpy as np
import pytest
import shapely

from geo_scout.evidence.arrivals import Origins, measure_hazards, year_ends
from geo_scout.evidence.places import Places
from geo_scout.evidence.placing import place_records
from geo_scout.evidence.presence import lay_grounds
from geo_scout.formulas.dispersal import reach, reach_from_curve
from geo_scout.sites import find_patches

CURVE = {"ln_km_per_yr": 0.258, "ln_km_at_start": 0.741, "fitted_from_years": 1.0, "fitted_to_years": 7.0}
SPREADS = {
    "rate": {"km_per_yr": 0.6, "lag_years": 1.5, "max_spread_km": 4.0},
    "curve": {"curve": CURVE, "max_spread_km": 4.0},
}


def days(*texts):
    return np.array(texts, dtype="datetime64[D]")


@pytest.fixture
def scene(frames):
    """Return 30 squares and 10 points at random, half of them origins, some next to each other and sure."""
    draw = np.random.default_rng(5)
    corners_m = draw.uniform(0, 6000, (30, 2))
    corners_m[1] = corners_m[0] + (200, 0)  # side by side
    squares = [frames.square(*corner, size_m=200) for corner in corners_m]
    shapes = np.array([*squares, *shapely.points(draw.uniform(0, 6000, (10, 2)))], dtype=object)
    names = np.array([f"p{n}" for n in range(40)], dtype=object)
    own = np.sort(draw.choice(np.arange(2, 40), 18, replace=False))
    place = np.concatenate([[0, 1], own])
    took = np.sort(draw.uniform(0, 1, (20, 3)), axis=1)
    took[:3] = 1.0
    started = np.datetime64("2015-01-01", "D") + draw.integers(0, 3000, 20)
    ended = np.where(draw.random(20) < 0.3, started + 1200, np.datetime64("NaT", "D"))
    origins = Origins(place, started, ended, took, draw.uniform(30, 600, 20))
    return Places(names, shapes, np.zeros(40), 30), origins


def chance_by_loops(places, origins, spread, target, end, level):
    """Return the chance that the agent has arrived at a place by a day."""
    missed = 1.0
    for origin, place in enumerate(origins.place):
        ended = origins.ended[origin]
        last = end if np.isnat(ended) else min(end, ended)
        years = (last - origins.started[origin]).astype(int) / 365.25
        if place == target or years < 0:
            continue
        gap_m = shapely.distance(places.shapes[place], places.shapes[target])
        gap_km = max(0.0, gap_m + (1 - level) * origins.uncertainty_m[origin]) / 1000
        if spread.curve is not None:
            share = reach_from_curve(gap_km, years, *CURVE.values(), 4.0)
        else:
            share = reach(gap_km, years, 0.6, 1.5, 4.0)
        missed *= 1 - origins.took_share[origin, level] * float(share)
    return 1 - missed


@pytest.mark.parametrize("kind", SPREADS)
def test_hazards_add_up_to_the_chance_of_having_arrived(frames, scene, kind):
    places, origins = scene
    spread = frames.agent(spread=SPREADS[kind]).spread
    ends = year_ends(range(2015, 2027), np.datetime64("2026-11-01", "D"))
    assert str(ends[-1]) == "2026-11-01"
    hazard = measure_hazards(places, np.arange(40), origins, spread, ends)
    arrived = 1 - np.cumprod(1 - hazard, axis=0)
    for year in (0, 4, 11):
        for level in range(3):
            expected = [chance_by_loops(places, origins, spread, one, ends[year], level) for one in range(40)]
            # Gaps of GEOS and of the hulls' corners agree to a nanometre, products and sums to a few ulps.
            np.testing.assert_allclose(arrived[year, :, level], expected, rtol=1e-9, atol=1e-12)
    some = measure_hazards(places, np.array([7, 3]), origins, spread, ends)
    np.testing.assert_array_equal(some, hazard[:, [7, 3]])


def test_many_sure_origins_at_once_are_as_sure_as_one(frames):
    # 400 origins that took for sure, all within their uncertainty of the place: the product of 400 zeros.
    count = 400
    shapes = np.array([frames.square(0), *[frames.point(150 + n) for n in range(count)]], dtype=object)
    places = Places(
        np.array([f"p{n}" for n in range(count + 1)], dtype=object), shapes, np.zeros(count + 1), 1
    )
    started = np.full(count, np.datetime64("2020-07-01", "D"))
    never = np.full(count, np.datetime64("NaT", "D"))
    origins = Origins(np.arange(1, count + 1), started, never, np.ones((count, 3)), np.full(count, 900.0))
    spread = frames.agent(spread={"km_per_yr": 0.001, "max_spread_km": 5.0}).spread
    ends = year_ends([2020, 2021, 2022], np.datetime64("2022-12-31", "D"))
    hazard = measure_hazards(places, np.array([0]), origins, spread, ends)[:, 0]
    assert hazard[:, 2].tolist() == [1.0, 0.0, 0.0]
    assert (hazard[:, 0] < 1e-12).all()


def test_a_profile_that_says_nothing_of_spread_has_no_arrivals(frames, scene):
    places, origins = scene
    ends = days("2020-12-31")
    for spread in ({}, {"km_per_yr": 1.0}, {"max_spread_km": 5.0}):
        stated = frames.agent(spread=spread).spread
        assert not measure_hazards(places, np.arange(40), origins, stated, ends).any()


@pytest.fixture
def lay(frames):
    """Return what the chances rest on: patches K0 at 0 m and K1 at 1,000 m."""

    def run(put=(), seen=(), treatments=(), **settings):
        weeds = [frames.row(frames.square(1000 * n), id=f"K{n}") for n in range(2)]
        agent = frames.agent(
            establishment={"prior_share": 0.5, "persistence_share": 0.8},
            signs=[
                {
                    "name": "adults",
                    "methods": ["net"],
                    "first_day": "05-01",
                    "last_day": "09-30",
                    "found_share": 0.5,
                    "effort_hours": 1.0,
                    "wrong_share": 0.1,
                }
            ],
        )
        season = frames.season(agent, **settings)
        layers = frames.layers(infestations=weeds, releases=put, visits=seen, treatments=treatments)
        sites = find_patches(layers, season, frames.HOST)
        records = [place_records(layers.vectors[name], sites.patches) for name in ("releases", "visits")]
        return lay_grounds(sites, layers, season, agent, *records)

    return run


def origin_rows(grounds):
    origins = grounds.origins
    return {
        grounds.places.place_id[place]: (str(started), round(float(took[1]), 6))
        for place, started, took in zip(origins.place, origins.started, origins.took_share, strict=True)
    }


def visit(frames, name, east_m, date, found, **more):
    more = {"method": "net", "effort_hours": 1.0} | more
    return frames.row(frames.point(east_m), visit_id=name, date=date, found=found, **more)


def test_an_origin_starts_with_its_first_release_or_find_and_fades_with_the_years(frames, lay):
    put = [
        frames.row(frames.point(east_m), release_id=name, date=date)
        for name, east_m, date in (
            ("A", 50, "2018-06-01"),
            ("B", 60, "2020-06-01"),
            ("O", 5000, "2019-07-01"),
        )
    ]
    seen = [
        # In vain in K0 after the first release, before the second: 0.5 -> 1/3, and back to 0.5.
        visit(frames, "v1", 50, "2019-07-01", False),
        # A find without a release starts from the prior: 0.5 x 0.5 / (0.25 + 0.5 x 0.1) = 0.833333.
        visit(frames, "v2", 1050, "2021-07-01", True),
        # Seen for sure by a method that nothing is known of.
        visit(frames, "v3", 9000, "2022-07-01", True, method="by chance"),
        visit(frames, "v4", 9500, "2022-07-01", False),
    ]
    assert origin_rows(lay(put, seen)) == {
        # To 2026 the years leave 0.8^6 of 0.5 (2020), 0.8^5 of 0.833333, 0.8^7 of 0.5 and 0.8^4 of 1.
        "ASHT-K0": ("2018-06-01", 0.131072),
        "ASHT-K1": ("2021-07-01", 0.273067),
        "at release O": ("2019-07-01", 0.104858),
        "at visit v3": ("2022-07-01", 0.4096),
    }


def test_a_loss_ends_the_spread_from_there_unless_something_came_after(frames, lay):
    def ended(*dates):
        put = [frames.row(frames.point(50), release_id=f"R{n}", date=date) for n, date in enumerate(dates)]
        sprayed = frames.row(
            frames.square(0), treatment_id="T", kind="spray", start="2020-05-01", end="2020-05-02"
        )
        return str(lay(put, records={"loss_kinds": ["spray"]}, treatments=[sprayed]).origins.ended[0])

    assert ended("2018-06-01") == "2020-05-02"
    assert ended("2018-06-01", "2021-06-01") == "NaT"
    assert ended("2021-06-01") == "NaT"


def test_independent_releases_are_further_tries(frames, lay):
    put = [frames.row(frames.point(50), release_id=name, date="2018-06-01") for name in ("A", "B", "C")]
    # 0.5 or 1 - 0.5^3, times 0.8^8 = 0.167772 by 2026
    assert origin_rows(lay(put))["ASHT-K0"][1] == 0.083886
    assert origin_rows(lay(put, records={"independent_releases": True}))["ASHT-K0"][1] == 0.146801


def test_the_uncertainty_of_a_place_is_that_of_its_releases_and_else_of_its_finds(frames, lay):
    put = [
        frames.row(frames.point(50), release_id=name, date="2018-06-01", coordinate_uncertainty_m=m)
        for name, m in (("A", None), ("B", 45.0), ("C", 5.0))
    ]
    find = visit(frames, "v", 50, "2020-07-01", True, coordinate_uncertainty_m=400.0)
    other = visit(frames, "w", 1050, "2020-07-01", True, coordinate_uncertainty_m=40.0)
    assert lay(put, [find, other]).places.uncertainty_m.tolist() == [45.0, 40.0]
    assert lay(put[2:], []).places.uncertainty_m.tolist() == [30.0, 0.0]  # never below the floor


def test_an_own_release_counts_at_least_by_the_share_of_its_circle_in_the_patch(frames, lay):
    # On the western side of the patch, so that half of the circle of 40 m lies in it.
    put = [frames.row(frames.point(0), release_id="A", date="2018-06-01", coordinate_uncertainty_m=40.0)]
    share = lay(put).happenings.share[0]
    assert share[1:].tolist() == [0.5, 0.5]
    assert share[0] == pytest.approx(0.25, rel=1e-6)  # a circle of 128 sides, cut through two corners
    wholly = [frames.row(frames.point(50), release_id="A", date="2018-06-01", coordinate_uncertainty_m=50.0)]
    assert lay(wholly).happenings.share[0].tolist() == [0.5, 0.5, 0.5]
    # 20 m outside: the segment beyond 20 m of a circle of 40 m is 40^2 (acos(1/2) - 1/2 sqrt(3)/2) of 40^2 pi.
    beside = [frames.row(frames.point(-20), release_id="A", date="2018-06-01", coordinate_uncertainty_m=40.0)]
    segment = (math.acos(0.5) - 0.5 * math.sqrt(0.75)) / math.pi
    assert lay(beside).happenings.share[0][0] == pytest.approx(0.5 * segment, rel=2e-3)  # 128 sides


def test_years_run_from_the_first_release_or_find_to_as_of(frames, lay):
    seen = [visit(frames, "v1", 50, "2012-07-01", False), visit(frames, "v2", 50, "2014-07-01", True)]
    assert list(lay((), seen, as_of=dt.date(2017, 2, 1)).years) == [2014, 2015, 2016, 2017]
    assert list(lay((), seen[:1]).years) == []
