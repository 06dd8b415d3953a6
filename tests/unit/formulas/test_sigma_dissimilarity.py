"""Sigma: one dimension is itself, more dimensions make the same distance less, and nothing saturates."""

import numpy as np
import pytest

from geo_scout.formulas.sigma_dissimilarity import sigma_dissimilarity


def test_in_one_dimension_sigma_is_the_distance():
    distance = np.linspace(0, 1000, 2_001)
    np.testing.assert_allclose(sigma_dissimilarity(distance, 1), distance, rtol=2e-12)


@pytest.mark.parametrize("dimensions", range(1, 9))
@pytest.mark.parametrize("ends", [(0, 1), (0, 12), (7.5, 9.5), (36, 41), (0, 1000), (990, 1000)])
def test_sigma_is_finite_and_strictly_rising(dimensions, ends):
    """Also where 1 - share rounds to 1 (D = 8), where shares underflow (D = 38), and where the tails meet."""
    sigma = sigma_dissimilarity(np.linspace(*ends, 20_001), dimensions)
    assert np.isfinite(sigma).all()
    assert (np.diff(sigma) > 0).all()


def test_the_same_distance_in_more_dimensions_is_rarer_to_exceed():
    sigma = [float(sigma_dissimilarity(3.0, dimensions)) for dimensions in range(1, 9)]
    assert sigma == sorted(sigma, reverse=True)
    assert len(set(sigma)) == 8


def test_no_distance_missing_and_endless_ones():
    sigma = sigma_dissimilarity([[0.0, np.nan], [-1.0, np.inf]], 3)
    assert sigma[0, 0] == 0.0
    assert np.isnan(sigma[0, 1])
    assert np.isnan(sigma[1, 0])
    assert sigma[1, 1] == np.inf
    assert sigma_dissimilarity([], 3).shape == (0,)


def test_no_dimensions_are_refused():
    with pytest.raises(ValueError, match="0 dimensions; at least one is needed"):
        sigma_dissimilarity(1.0, 0)
