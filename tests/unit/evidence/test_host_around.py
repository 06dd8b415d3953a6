"""Host within the agent's reach, by hand and pair by pair."""

import math

import geopandas as gpd
import numpy as np
import pytest
import shapely

from geo_scout.evidence import host_around as module
from geo_scout.evidence.host_around import host_around, host_around_parts, host_around_range

CURVE = {"ln_km_per_yr": 0.258, "ln_km_at_start": 0.741, "fitted_from_years": 1.0, "fitted_to_years": 7.0}


def patches(frames, *rows):
    shapes, infested_ha = zip(*rows, strict=True) if rows else ((), ())
    return gpd.GeoDataFrame(
        {"infested_ha": np.array(infested_ha, float)}, geometry=list(shapes), crs=frames.PLANE
    )


@pytest.fixture
def three(frames):
    """Return squares of 100 m at 0, 1.1 and 4.1 km: gaps of 1.0, 2.9 and 4.0 km."""
    return patches(frames, (frames.square(0), 2.0), (frames.square(1100), 3.0), (frames.square(4100), 5.0))


def test_each_other_patch_counts_by_its_distance_and_the_patch_itself_does_not(frames, three):
    spread = frames.agent(spread={"km_per_yr": 1.0, "lag_years": 3.0, "max_spread_km": 50.0}).spread
    found = host_around(three, spread, 5.0)  # a = 1 x (5 - 3) = 2 km
    assert found == pytest.approx(
        [
            3 * math.exp(-1.0 / 2) + 5 * math.exp(-4.0 / 2),
            2 * math.exp(-1.0 / 2) + 5 * math.exp(-2.9 / 2),
            2 * math.exp(-4.0 / 2) + 3 * math.exp(-2.9 / 2),
        ],
        rel=1e-9,
    )


def test_the_parts_say_what_each_patch_adds_most_first(frames, three):
    spread = frames.agent(spread={"km_per_yr": 1.0, "lag_years": 3.0, "max_spread_km": 3.5}).spread
    three = three.assign(site_id=["A", "B", "C"])
    parts = host_around_parts(three, spread, 5.0, 1)
    assert parts["site_id"].tolist() == ["A", "C"]
    assert parts["distance_km"].tolist() == pytest.approx([1.0, 2.9])
    assert parts["infested_ha"].tolist() == [2.0, 5.0]
    assert parts["adds_ha"].tolist() == pytest.approx([2 * math.exp(-0.5), 5 * math.exp(-1.45)])
    assert parts["adds_ha"].sum() == pytest.approx(host_around(three, spread, 5.0)[1])
    # C lies 4 km from A, beyond the farthest spread.
    assert host_around_parts(three, spread, 5.0, 0)["site_id"].tolist() == ["B"]
    assert host_around_parts(three, frames.agent().spread, 5.0, 0).empty


def test_beyond_the_farthest_spread_nothing_counts_and_on_it_all_does(frames, three):
    spread = {"km_per_yr": 1.0, "max_spread_km": 2.9}
    found = host_around(three, frames.agent(spread=spread).spread, 5.0)
    assert found == pytest.approx(
        [3 * math.exp(-0.2), 2 * math.exp(-0.2) + 5 * math.exp(-0.58), 3 * math.exp(-0.58)]
    )
    shorter = host_around(three, frames.agent(spread=spread | {"max_spread_km": 2.899}).spread, 5.0)
    assert shorter == pytest.approx([3 * math.exp(-0.2), 2 * math.exp(-0.2), 0.0])


def test_a_published_curve_halves_the_reach_at_its_distance(frames, three):
    spread = frames.agent(spread={"curve": CURVE, "max_spread_km": 50.0}).spread
    half_km = math.exp(0.258 * 3 + 0.741)
    assert host_around(three, spread, 3.0)[0] == pytest.approx(
        3 * 0.5 ** (1 / half_km) + 5 * 0.5 ** (4 / half_km)
    )


def test_touching_patches_count_whole_even_before_any_spread(frames):
    pair = patches(frames, (frames.square(0), 2.0), (frames.square(100), 3.0), (frames.square(201), 9.0))
    spread = frames.agent(spread={"km_per_yr": 1.0, "lag_years": 6.0, "max_spread_km": 50.0}).spread
    assert host_around(pair, spread, 5.0).tolist() == [3.0, 2.0, 0.0]


def test_unknown_cover_counts_nothing_around_others_but_has_its_own_surroundings(frames):
    pair = patches(frames, (frames.square(0), np.nan), (frames.square(100), 3.0))
    spread = frames.agent(spread={"km_per_yr": 1.0, "max_spread_km": 50.0}).spread
    assert host_around(pair, spread, 5.0).tolist() == [3.0, 0.0]


@pytest.mark.parametrize("spread", [{}, {"km_per_yr": 1.0}, {"max_spread_km": 9.0}])
def test_without_a_spread_it_is_unknown(frames, three, spread):
    assert np.isnan(host_around(three, frames.agent(spread=spread).spread, 5.0)).all()


def test_one_patch_and_no_patch(frames):
    spread = frames.agent(spread={"km_per_yr": 1.0, "max_spread_km": 9.0}).spread
    assert host_around(patches(frames, (frames.square(0), 2.0)), spread, 5.0).tolist() == [0.0]
    assert host_around(patches(frames), spread, 5.0).tolist() == []


@pytest.mark.parametrize("pairs_at_once", [1, 700, 10**6])
def test_pair_by_pair_gives_the_same(frames, monkeypatch, pairs_at_once):
    monkeypatch.setattr(module, "PAIRS_AT_ONCE", pairs_at_once)
    rng = np.random.default_rng(11)
    corner, size_m = rng.uniform(0, 30_000, (120, 2)), 10 ** rng.uniform(1.0, 3.0, 120)
    shapes = [shapely.box(e, n, e + s, n + s / 3) for (e, n), s in zip(corner, size_m, strict=True)]
    frame = patches(frames, *zip(shapes, rng.uniform(0, 20, 120), strict=True))
    spread = frames.agent(spread={"km_per_yr": 0.8, "max_spread_km": 12.0}).spread
    distance_km = np.array([[a.distance(b) / 1000 for b in shapes] for a in shapes])
    reach = np.where(distance_km <= 12.0, np.exp(-distance_km / 4.0), 0.0)
    np.fill_diagonal(reach, 0.0)
    assert host_around(frame, spread, 5.0) == pytest.approx(reach @ frame["infested_ha"].to_numpy(), rel=1e-9)


def test_the_ends_are_those_of_all_other_patches_together(frames, three):
    """The second has no known cover: nothing at best, at least the half hectare that is known, at most all."""
    spread = frames.agent(spread={"km_per_yr": 1.0, "lag_years": 3.0, "max_spread_km": 50.0}).spread
    unsure = three.assign(
        infested_ha=[2.0, np.nan, 5.0], infested_low_ha=[1.0, 0.5, 5.0], infested_high_ha=[4.0, 3.0, 5.0]
    )
    low, best, high = host_around_range(unsure, spread, 5.0).T
    near, far = math.exp(-1.0 / 2), math.exp(-4.0 / 2)
    assert (low[0], best[0], high[0]) == pytest.approx((5 * far, 5 * far, 3 * near + 5 * far), rel=1e-9)
    assert best == pytest.approx(host_around(unsure, spread, 5.0))
    assert (low <= best).all()
    assert (best <= high).all()
    assert low[1] == pytest.approx(1 * near + 5 * math.exp(-2.9 / 2), rel=1e-9)
