"""Relative position against moving averages of SciPy, the topographic position of Guisan, Weiss & Weiss 1999."""

import numpy as np
import pytest
from scipy.ndimage import uniform_filter

from geo_scout.formulas.terrain_position import relative_position_m


@pytest.mark.parametrize("reach", [(1, 1), (2, 5), (6, 3)])
def test_inside_it_is_the_cell_less_the_moving_average_around_it(reach):
    elevation = np.random.default_rng(7).normal(1500.0, 80.0, (31, 37))
    high, wide = (2 * one + 1 for one in reach)
    rows, columns = (one.ravel() for one in np.mgrid[reach[0] : 31 - reach[0], reach[1] : 37 - reach[1]])
    # SciPy's average counts the cell itself as one of the rectangle's.
    around = (uniform_filter(elevation, (high, wide)) * high * wide - elevation) / (high * wide - 1)
    expected = (elevation - around)[rows, columns]
    np.testing.assert_allclose(relative_position_m(elevation, rows, columns, reach), expected, atol=1e-9)
