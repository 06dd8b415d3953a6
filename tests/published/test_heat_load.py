"""Heat load against the tables of the paper that gives the equations.

McCune & Keon 2002, Journal of Vegetation Science 13: 603-606, latitude 40 N; as an R manual prints them, and
re-computed from the equations. Logarithms for equations 1 and 2.
"""

import numpy as np
import pytest

from geo_scout.formulas.terrain_heat_load import heat_load

SLOPES_DEG, ASPECTS_DEG = np.array([0.0, 30.0, 30.0]), np.array([0.0, 0.0, 180.0])


@pytest.mark.parametrize(
    ("equation", "expected"), [(1, [-0.2551, -0.6280, 0.0538]), (3, [0.9580, 0.6416, 0.9825])]
)
def test_heat_load(equation, expected):
    # Half a unit of the last printed digit.
    load = heat_load(SLOPES_DEG, ASPECTS_DEG, 40.0, equation)
    printed = load if equation == 3 else np.log(load)
    np.testing.assert_allclose(printed, expected, atol=5e-5)


@pytest.mark.parametrize(
    ("equation", "expected", "half_a_digit"),
    [
        (1, [-0.2551, -0.9838, -0.0196], 5e-5),
        # Table 2 of the paper, by an R package's example.
        (2, [-0.202, -0.889, -0.005], 5e-4),
        (3, [0.958, 0.571, 1.053], 5e-4),
    ],
)
def test_radiation_is_heat_load_turned_by_45_degrees(equation, expected, half_a_digit):
    # Radiation folds the aspect about the north-south line, heat load about the one from north-east to south-west.
    radiation = heat_load(SLOPES_DEG, ASPECTS_DEG + 45.0, 40.0, equation)
    printed = radiation if equation == 3 else np.log(radiation)
    np.testing.assert_allclose(printed, expected, atol=half_a_digit)
