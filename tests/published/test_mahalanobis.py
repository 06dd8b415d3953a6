"""Climate distance against SciPy's documented example and the chi distribution."""

import numpy as np
import pytest
from scipy.stats import chi2

from geo_scout.formulas.climate_match import distance_blocks, distance_of_pairs, regional_distance
from geo_scout.formulas.climate_spread import regional_spread
from geo_scout.model.climate_spread import ClimateSpread


def spread_with(covariance):
    """Return the spread of cells that have exactly this covariance."""
    # The corners of a cube have no covariance, and variance n / (n - 1).
    corners = np.stack(np.meshgrid(*[[-1.0, 1.0]] * 3), axis=-1).reshape(-1, 3).repeat(5, axis=0)
    corners *= np.sqrt((len(corners) - 1) / len(corners))
    spread = regional_spread(corners @ np.linalg.cholesky(covariance).T, ["bio01", "bio06", "bio12"])
    assert isinstance(spread, ClimateSpread)
    np.testing.assert_allclose(spread.covariance, covariance, rtol=1e-12, atol=1e-12)
    return spread


@pytest.mark.parametrize(
    ("site", "expected"),
    [((1.0, 0.0, 0.0), 1.0), ((0.0, 2.0, 0.0), 1.0), ((2.0, 0.0, 0.0), 1.7320508075688772)],
)
def test_scipy_documented_example(site, expected):
    # scipy.spatial.distance.mahalanobis, example of its documentation, which gives the inverse; only rounding
    # separates the two. Blocks subtract squares of lengths, so a digit or two fewer.
    spread = spread_with(np.linalg.inv(np.array([[1, 0.5, 0.5], [0.5, 1, 0.5], [0.5, 0.5, 1]])))
    other = np.array([0.0, 1.0, 0.0])
    assert float(distance_of_pairs(np.array(site) - other, spread)) == pytest.approx(expected, rel=1e-12)
    [(_, block)] = distance_blocks([site], [other], spread)
    assert block[0, 0] == pytest.approx(expected, rel=1e-10)


def test_the_regional_distance_of_two_random_places_follows_the_chi_distribution():
    # If x and y are independent with covariance S, (D / sqrt 2)^2 is chi-squared with K degrees of
    # freedom: in 40,000 draws (seed fixed) each quantile's share lies within 0.01, four standard errors.
    generator = np.random.default_rng(20)
    covariance = np.array([[4.0, 1.5, 0.0], [1.5, 2.0, -0.7], [0.0, -0.7, 1.0]])
    first, second = generator.multivariate_normal(np.zeros(3), covariance, size=(2, 40_000))
    apart = regional_distance(distance_of_pairs(first - second, spread_with(covariance)))
    for probability in (0.1, 0.5, 0.9):
        limit = np.sqrt(chi2.ppf(probability, df=3))
        assert np.mean(apart <= limit) == pytest.approx(probability, abs=0.01)
