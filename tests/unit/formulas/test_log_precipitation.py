"""The logarithm of precipitation beside other columns."""

import numpy as np
import pytest

from geo_scout.formulas.log_precipitation import with_log_precipitation


def test_log_precipitation_touches_only_its_columns_and_not_the_input():
    values = np.array([[-5.0, 0.0, 99.0], [1.0, -0.1, np.nan]])
    before = values.copy()
    logged = with_log_precipitation(values, [False, True, True])
    assert logged[0] == pytest.approx([-5.0, 0.0, np.log(100.0)])
    assert logged[1, 0] == 1.0
    assert np.isnan(logged[1, 1:]).all()
    np.testing.assert_array_equal(values, before)


def test_no_sites():
    assert with_log_precipitation(np.zeros((0, 2)), [True, False]).shape == (0, 2)
