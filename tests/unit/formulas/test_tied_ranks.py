import numpy as np
import pytest
from scipy.stats import rankdata

from geo_scout.formulas.tied_ranks import tied_ranks


@pytest.mark.parametrize("seed", range(3))
def test_places_are_those_of_scipy(seed):
    values = np.random.default_rng(seed).integers(0, 8, 30) / 4
    found = tied_ranks(values)
    np.testing.assert_array_equal(found.first, rankdata(values, "min"))
    np.testing.assert_array_equal(found.last, rankdata(values, "max"))
    np.testing.assert_array_equal(found.mean, rankdata(values))


def test_a_zero_with_a_sign_is_a_zero():
    assert tied_ranks([0.0, -0.0]).first.tolist() == [1, 1]


def test_none_has_no_places():
    assert len(tied_ranks([]).mean) == 0


@pytest.mark.parametrize("values", [[np.nan, 1.0], [[1.0], [2.0]]])
def test_what_has_no_place_is_refused(values):
    with pytest.raises(ValueError, match="ranks need a row of values"):
        tied_ranks(values)
