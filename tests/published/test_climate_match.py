"""Distances in blocks, best matches and shares against SciPy's Mahalanobis distance."""

import numpy as np
import pytest
from scipy.spatial import distance

from geo_scout.formulas.climate_difference import find_drivers
from geo_scout.formulas.climate_match import best_match, distance_blocks, distance_of_pairs
from geo_scout.formulas.climate_spread import interannual_spread, regional_spread

NAMES = ("bio01", "bio05", "bio06", "bio12")


@pytest.fixture(scope="module")
def climates():
    """Return 400 cells, 50 sites and 9 populations of four correlated variables of very unlike size."""
    generator = np.random.default_rng(2017)
    mixing = generator.normal(size=(4, 4)) * np.array([1.0, 8.0, 300.0, 0.2])
    rows = generator.normal(size=(459, 4)) @ mixing + np.array([7.0, 25.0, 600.0, 3.0])
    return rows[:400], rows[400:450], rows[450:]


@pytest.fixture(scope="module")
def expected(climates):
    cells, sites, populations = climates
    inverse = np.linalg.inv(np.cov(cells, rowvar=False))
    return np.array([[distance.mahalanobis(a, b, inverse) for b in populations] for a in sites])


def test_distances_in_blocks(climates, expected):
    # SciPy multiplies by the inverse, we whiten by principal components: condition below 1e6, so 1e-9.
    cells, sites, populations = climates
    spread = regional_spread(cells, NAMES)
    found = np.full(expected.shape, np.nan)
    for rows, block in distance_blocks(sites, populations, spread):
        found[rows] = block
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_best_matches_and_single_pairs(climates, expected):
    cells, sites, populations = climates
    spread = regional_spread(cells, NAMES)
    best = best_match(sites, populations, spread)
    assert best.population.tolist() == expected.argmin(axis=1).tolist()
    assert len(set(best.population.tolist())) > 3
    np.testing.assert_allclose(best.distance, expected.min(axis=1), rtol=1e-9)
    pairs = distance_of_pairs(sites[:, None] - populations, spread)
    np.testing.assert_allclose(pairs, expected, rtol=1e-9)


def test_shares_by_the_inverse(climates, expected):
    # d_j (S^-1 d)_j / D^2 with NumPy's covariance and inverse.
    cells, sites, populations = climates
    difference = sites[0] - populations
    inverse = np.linalg.inv(np.cov(cells, rowvar=False))
    by_inverse = difference * (difference @ inverse) / expected[0][:, None] ** 2
    drivers = find_drivers(difference, regional_spread(cells, NAMES))
    np.testing.assert_allclose(drivers.share, by_inverse, rtol=1e-7, atol=1e-9)
    assert drivers.main.tolist() == by_inverse.argmax(axis=1).tolist()
    assert drivers.offsets.any()


def test_years_without_their_trend_against_scipy():
    # scipy.signal.detrend takes the same straight line off evenly spaced years.
    from scipy.signal import detrend

    generator = np.random.default_rng(30)
    years = np.arange(1985, 2025)
    weather = generator.normal(size=(40, 3)) @ generator.normal(size=(3, 3)) + 0.05 * (years - 1985)[:, None]
    left = detrend(weather, axis=0)
    found = interannual_spread(weather, years, ("bio01", "bio05", "bio12"))
    np.testing.assert_allclose(found.covariance, left.T @ left / 38, rtol=1e-9)
    assert (found.kind, found.sample, found.kept) == ("interannual", 40, 3)
