"""Sigma dissimilarity against the values of Mahony et al. 2017's formula, mpmath and SciPy."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from geo_scout.formulas.sigma_dissimilarity import sigma_dissimilarity

FROZEN = json.loads(Path(__file__).with_name("freeze_sigma.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("distance", "dimensions", "sigma"),
    [(1, 1, 1.0), (2, 2, 1.4934), (3, 2, 2.5393), (2, 4, 0.8309), (3, 4, 1.8728)],
)
def test_printed_values(distance, dimensions, sigma):
    # sigma = chi_1^-1(chi_K(D)) printed to four decimals.
    assert sigma_dissimilarity(distance, dimensions) == pytest.approx(sigma, abs=5e-5)


@pytest.mark.parametrize(
    ("dimensions", "distance"),
    [(1, 2.0), (2, 2.486), (3, 2.8328), (4, 3.117), (6, 3.5845), (8, 3.9735)],
)
def test_distance_of_two_sigma(dimensions, distance):
    # Two sigma, 95.45 %, is where a climate stops being called representative. D is printed to four
    # decimals, and sigma rises by less than 1.2 per unit of D there.
    assert sigma_dissimilarity(distance, dimensions) == pytest.approx(2.0, abs=6e-5)


def test_against_mpmath():
    # 60 digits from the definition. SciPy's inverse of the normal tail is good to about 1e-12 far out.
    distance, dimensions, expected = np.array(FROZEN["distance_dimensions_sigma"]).T
    assert set(dimensions) == set(range(1, 9))
    assert distance.max() == 1000
    found = [sigma_dissimilarity(d, int(k)) for d, k in zip(distance, dimensions, strict=True)]
    np.testing.assert_allclose(found, expected, rtol=2e-12)


@pytest.mark.parametrize("dimensions", range(1, 9))
def test_against_scipy_where_scipy_holds(dimensions):
    # Its plain percentiles lose digits as 1 - share does: 1e-9 up to D = 5.
    distance = np.linspace(0.2, 5, 50)
    expected = stats.chi(1).ppf(stats.chi(dimensions).cdf(distance))
    np.testing.assert_allclose(sigma_dissimilarity(distance, dimensions), expected, rtol=1e-9)
