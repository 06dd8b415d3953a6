import numpy as np
import pytest

from geo_scout.formulas.terrain_heat_load import heat_load, heat_load_holds


@pytest.mark.parametrize(("latitude", "warmest", "coolest"), [(40.0, 225.0, 45.0), (-40.0, 315.0, 135.0)])
def test_the_afternoon_side_is_warmest_and_the_opposite_one_coolest(latitude, warmest, coolest):
    aspects = np.arange(0.0, 360.0, 5.0)
    load = heat_load(25.0, aspects, latitude)
    assert aspects[load.argmax()] == warmest
    assert aspects[load.argmin()] == coolest


@pytest.mark.parametrize("equation", [1, 2])
def test_the_two_wider_equations_are_highest_to_both_sides_of_south_west(equation):
    # Where the derivative of c1 cos A sin L + c2 sin A is zero: at 40 N tan A = -0.607 / (1.5 x 0.6428) by
    # equation 1, 147.8 deg; -0.375 / (1.376 x 0.6428) by equation 2, 157.0 deg. Folded, 32 and 23 deg off 225.
    aspects = np.arange(0.0, 360.0, 0.5)
    load = heat_load(25.0, aspects, 40.0, equation)
    off = {1: 32.2, 2: 23.0}[equation]
    highest = aspects[np.isclose(load, load.max(), rtol=1e-6)]
    assert sorted(np.abs(highest - 225.0)) == pytest.approx([off, off], abs=0.5)


@pytest.mark.parametrize("equation", [1, 2, 3])
def test_the_south_is_the_mirror_image_of_the_north(equation):
    aspects = np.arange(0.0, 360.0, 7.0)
    north = heat_load(25.0, aspects, 40.0, equation)
    south = heat_load(25.0, (180.0 - aspects) % 360.0, -40.0, equation)
    np.testing.assert_allclose(south, north, rtol=1e-12)


def test_flat_ground_has_one_heat_load_whatever_its_aspect():
    # exp(-1.467 + 1.582 cos 40 deg), by hand: 1.582 x 0.766044 = 1.211882, exp(-0.255118) = 0.774825.
    load = heat_load(0.0, [-1.0, 0.0, 100.0, 359.0], 40.0, 1)
    np.testing.assert_allclose(load, 0.774825, atol=1e-6)


@pytest.mark.parametrize(
    ("equation", "latitude", "slope", "holds"),
    [
        (1, 0.0, 0.0, True), (1, 60.0, 89.9, True), (1, 60.01, 10.0, False), (1, -60.01, 10.0, False),
        (1, 10.0, 90.1, False), (2, 0.0, 60.0, True), (2, 0.0, 60.1, False), (3, 30.0, 60.0, True),
        (3, 29.9, 10.0, False), (3, -45.0, 10.0, True), (3, 45.0, 60.1, False), (1, np.nan, 1.0, False),
        (1, 40.0, np.nan, False), (1, 40.0, -0.1, False),
    ],
)  # fmt: skip
def test_outside_what_an_equation_was_fitted_on_it_says_nothing(equation, latitude, slope, holds):
    assert bool(heat_load_holds(slope, latitude, equation)) == holds
    assert bool(np.isfinite(heat_load(slope, 200.0, latitude, equation))) == holds


def test_inputs_are_broadcast_and_missing_ones_stay_missing():
    load = heat_load([[10.0], [np.nan]], [0.0, np.nan, 225.0], 45.0)
    np.testing.assert_array_equal(np.isnan(load), [[False, True, False], [True, True, True]])
