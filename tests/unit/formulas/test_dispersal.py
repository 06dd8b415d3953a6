"""The reach at its ends and corners."""

import numpy as np
import pytest

from geo_scout.formulas.dispersal import density_2d, half_distance_km, reach, reach_from_curve

LARINUS = {"ln_km_per_yr": 0.258, "ln_km_at_start": 0.741, "fitted_from_years": 1.0, "fitted_to_years": 7.0}


def test_reach_falls_to_one_over_e_at_its_scale():
    # 0.5 km/yr, four years of which one is lag: scale 1.5 km
    values = reach([0.0, 1.5, 3.0], 4.0, km_per_yr=0.5, lag_years=1.0, max_spread_km=100.0)
    assert values == pytest.approx([1.0, 0.36787944, 0.13533528], abs=1e-8)


def test_before_the_lag_has_passed_the_agent_is_at_the_origin_only():
    values = reach([[0.0], [0.001]], [-1.0, 0.0, 2.0], km_per_yr=1.0, lag_years=2.0, max_spread_km=100.0)
    assert values.tolist() == [[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]]


def test_an_agent_that_does_not_spread_stays_at_the_origin():
    assert reach([0.0, 0.1], 9.0, km_per_yr=0.0, lag_years=0.0, max_spread_km=10.0).tolist() == [1.0, 0.0]


def test_the_limit_belongs_to_the_reach_and_never_takes_the_origin_away():
    values = reach([0.0, 5.0, 5.001], 5.0, km_per_yr=1.0, lag_years=0.0, max_spread_km=5.0)
    assert values == pytest.approx([1.0, np.exp(-1.0), 0.0])
    assert reach(0.0, 5.0, km_per_yr=1.0, lag_years=0.0, max_spread_km=0.0) == 1.0
    assert reach(1e6, 5.0, km_per_yr=1e6, lag_years=0.0, max_spread_km=np.inf) == pytest.approx(np.exp(-0.2))


def test_reach_from_curve_is_one_half_at_the_curve_and_stops_growing_after_the_fitted_years():
    at_curve_km = half_distance_km([1.0, 3.0, 7.0], **LARINUS)
    assert reach_from_curve(at_curve_km, [1.0, 3.0, 7.0], **LARINUS, max_spread_km=99.0) == pytest.approx(
        [0.5] * 3
    )
    after = reach_from_curve(4.0, [7.0, 8.0, 30.0], **LARINUS, max_spread_km=99.0)
    before = reach_from_curve(4.0, [1.0, 0.5, -2.0], **LARINUS, max_spread_km=99.0)
    assert len(set(after.tolist())) == len(set(before.tolist())) == 1
    assert before[0] < after[0]
    assert reach_from_curve([0.0, 4.0], 3.0, **LARINUS, max_spread_km=3.9).tolist() == [1.0, 0.0]


def test_missing_values_stay_missing_and_nothing_gives_nothing():
    assert np.isnan(reach([np.nan, 0.0, 1.0], [1.0, np.nan, np.nan], 1.0, 0.0, 9.0)).all()
    assert np.isnan(reach_from_curve([np.nan, 1.0], [1.0, np.nan], **LARINUS, max_spread_km=9.0)).all()
    assert reach([], [], 1.0, 0.0, 9.0).shape == (0,)
    assert reach_from_curve([], [], **LARINUS, max_spread_km=9.0).shape == (0,)


def test_negative_distances_and_turned_years_are_refused():
    with pytest.raises(ValueError, match=r"negative \(-1.0 km\)"):
        reach([-1.0, 2.0], 1.0, 1.0, 0.0, 9.0)
    with pytest.raises(ValueError, match="the first is later"):
        half_distance_km(1.0, 0.258, 0.741, 7.0, 1.0)


def test_density_at_the_origin():
    assert density_2d(0.0, 2.0) == pytest.approx(1 / (8 * np.pi))
