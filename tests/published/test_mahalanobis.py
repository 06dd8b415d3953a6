"""Climate distance against SciPy."""

import numpy as np
import pytest
from scipy.spatial import distance
from scipy.stats import chi2

from geo_scout.formulas.climate_distance import covariance, mahalanobis, regional_distance


@pytest.mark.parametrize(
    ("site", "expected"),
    [((1.0, 0.0, 0.0), 1.0), ((0.0, 2.0, 0.0), 1.0), ((2.0, 0.0, 0.0), 1.7320508075688772)],
)
def test_scipy_documented_example(site, expected):
    # scipy.spatial.distance.mahalanobis, example of its documentation; only rounding separates the two, since
    # here the covariance itself is inverted first.
    spread = np.linalg.inv(np.array([[1, 0.5, 0.5], [0.5, 1, 0.5], [0.5, 0.5, 1]]))
    assert mahalanobis([site], [(0.0, 1.0, 0.0)], spread)[0, 0] == pytest.approx(expected, rel=1e-12)


def test_random_climates_against_scipy():
    # SciPy inverts the covariance, we factor it: with a condition number near 1e5 they agree to about 1e-11.
    generator = np.random.default_rng(1936)
    mixing = generator.normal(size=(4, 4)) * np.array([1.0, 8.0, 300.0, 0.2])
    cells = generator.normal(size=(500, 4)) @ mixing + np.array([7.0, 25.0, 600.0, 3.0])
    spread = covariance(cells)
    np.testing.assert_allclose(spread, np.cov(cells, rowvar=False), rtol=1e-12)
    inverse = np.linalg.inv(spread)
    sites, populations = cells[:40], cells[40:47]
    expected = [
        [distance.mahalanobis(site, population, inverse) for population in populations] for site in sites
    ]
    np.testing.assert_allclose(mahalanobis(sites, populations, spread), expected, rtol=1e-9)


def test_regional_distance_of_two_random_places_follows_the_chi_distribution():
    # If x and y are independent with covariance S, (D / sqrt 2)^2 is chi-squared with K degrees of
    # freedom: in 40,000 draws (seed fixed) each quantile's share lies within 0.01, four standard errors.
    generator = np.random.default_rng(20)
    spread = np.array([[4.0, 1.5, 0.0], [1.5, 2.0, -0.7], [0.0, -0.7, 1.0]])
    places = generator.multivariate_normal(np.zeros(3), spread, size=(2, 200))
    between = regional_distance(mahalanobis(places[0], places[1], spread)).ravel()
    independent = generator.multivariate_normal(np.zeros(3), spread, size=(2, 40_000))
    paired = regional_distance(
        mahalanobis(independent[0] - independent[1], [[0.0, 0.0, 0.0]], spread)
    ).ravel()
    for probability in (0.1, 0.5, 0.9):
        limit = np.sqrt(chi2.ppf(probability, df=3))
        assert np.mean(paired <= limit) == pytest.approx(probability, abs=0.01)
    # all pairs of 200 + 200 places share their places, so the same holds more loosely
    assert np.median(between) == pytest.approx(np.sqrt(chi2.ppf(0.5, df=3)), abs=0.1)
