"""The reach and its density against published numbers and their own definition."""

import numpy as np
import pytest
from scipy.integrate import quad

from geo_scout.formulas.dispersal import density_2d, half_distance_km, reach, reach_from_curve

# Larinus in Wisconsin, 18 sites: ln(km) = 0.258 t + 0.741, Journal of Biological Control (informaticsjournals
# 15760), abstract. The kilometres are that line's values, to two decimals.
WISCONSIN = {"ln_km_per_yr": 0.258, "ln_km_at_start": 0.741, "fitted_from_years": 1.0, "fitted_to_years": 7.0}
WISCONSIN_KM = {1.0: 2.72, 2.0: 3.51, 3.0: 4.55, 5.0: 7.62, 7.0: 12.77}


@pytest.mark.parametrize(("years", "distance_km"), WISCONSIN_KM.items())
def test_larinus_in_wisconsin(years, distance_km):
    # Half a unit of the last printed digit; the reach there is one half, to the same relative rounding.
    assert half_distance_km(years, **WISCONSIN) == pytest.approx(distance_km, abs=0.005)
    share = reach_from_curve(distance_km, years, **WISCONSIN, max_spread_km=50.0)
    assert share == pytest.approx(0.5, abs=0.5 * np.log(2) * 0.005 / 2.72)


@pytest.mark.parametrize(("years", "distance_km"), [(0.0, 2.72), (0.4, 2.72), (7.01, 12.77), (30.0, 12.77)])
def test_larinus_outside_the_fitted_years_is_as_at_their_ends(years, distance_km):
    assert half_distance_km(years, **WISCONSIN) == pytest.approx(distance_km, abs=0.005)
    share = reach_from_curve(distance_km, years, **WISCONSIN, max_spread_km=50.0)
    assert share == pytest.approx(0.5, abs=0.5 * np.log(2) * 0.005 / 2.72)


@pytest.mark.parametrize("years", [0.0, 0.5, 3.0, 40.0])
def test_reach_is_one_at_the_origin_at_any_time(years):
    assert reach(0.0, years, 1.5, 1.0, 20.0) == 1.0
    assert reach_from_curve(0.0, years, **WISCONSIN, max_spread_km=20.0) == 1.0


@pytest.mark.parametrize("scale_km", [0.3, 1.42, 14.0])
def test_density_integrates_to_one_over_the_plane_and_has_the_mean_distance_of_two_scales(scale_km):
    # By definition of a density; quad states its own error, below 1e-8.
    total, _ = quad(lambda r: 2 * np.pi * r * float(density_2d(r, scale_km)), 0, np.inf)
    mean, _ = quad(lambda r: 2 * np.pi * r * r * float(density_2d(r, scale_km)), 0, np.inf)
    assert total == pytest.approx(1.0, abs=1e-7)
    assert mean == pytest.approx(2 * scale_km, rel=1e-7)


def test_reach_and_density_have_the_same_shape_but_another_height():
    distances_km = np.linspace(0, 12, 25)
    ratio = reach(distances_km, 3.0, 1.5, 1.0, np.inf) / density_2d(distances_km, 3.0)
    np.testing.assert_allclose(ratio, 2 * np.pi * 9.0, rtol=1e-12)
