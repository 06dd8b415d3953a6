"""Novelty by MESS against the formula of Elith et al. 2010: by hand, by SciPy, and by a plain loop on real data."""

import gzip

import numpy as np
import pandas as pd
import pytest
from scipy.stats import percentileofscore

from geo_scout.formulas.novelty import measure_novelty
from tests.reading_seasons import packaged


@pytest.mark.parametrize(
    ("value", "similarity"),
    [(-1, -22.22), (1, 0), (1.5, 20), (3, 40), (5.5, 100), (6, 100), (10, 20), (12, -22.22)],
)
def test_values_worked_from_the_formula(value, similarity):
    # Reference 1 to 10, strict inequality; printed to two decimals. (Counting equal values as smaller
    # would give 20, 60 and 0 at 1, 3 and 10.)
    reference = np.arange(1.0, 11.0)[:, None]
    assert measure_novelty([[value]], reference).similarity[0] == pytest.approx(similarity, abs=5e-3)


def by_loop(value, reference):
    """Return the similarity of one value, written straight from the paper with SciPy's strict percentage."""
    low, high = min(reference), max(reference)
    below = percentileofscore(reference, value, kind="strict")
    if below == 0:
        return 100 * (value - low) / (high - low)
    if below <= 50:
        return 2 * below
    if below < 100:
        return 2 * (100 - below)
    return 100 * (high - value) / (high - low)


@pytest.fixture(scope="module")
def sloths():
    """Return climates of 116 finds and 1,000 background places of a tree sloth, from the package elapid."""
    with gzip.open(packaged("elapid", "elapid/data/bradypus.csv.gz", "d2a11c2663b50ba5")) as file:
        table = pd.read_csv(file)
    climate = table.drop(columns=["presence", "ecoreg"]).to_numpy(dtype=float)
    is_find = table["presence"].to_numpy() == 1
    return climate[~is_find], climate[is_find]


def test_a_real_case_against_a_plain_loop(sloths):
    background, finds = sloths
    assert (background.shape, finds.shape) == ((1000, 13), (116, 13))
    some = background[::5]
    expected = np.array([[by_loop(v, finds[:, j]) for j, v in enumerate(row)] for row in some])
    found = measure_novelty(background, finds)
    # The same arithmetic in another order.
    np.testing.assert_allclose(found.by_variable[::5], expected, rtol=1e-12, atol=1e-9)
    np.testing.assert_allclose(found.similarity[::5], expected.min(axis=1), rtol=1e-12, atol=1e-9)
    least = np.take_along_axis(expected, found.most_dissimilar[::5, None], axis=1)[:, 0]
    np.testing.assert_allclose(least, expected.min(axis=1), rtol=1e-12, atol=1e-9)
    assert (found.similarity < 0).any()
    assert (found.similarity > 20).any()


def test_the_real_case_has_ties_that_the_other_count_would_change(sloths):
    """Integers tie often: were equal values counted as smaller, places inside the range would differ."""
    background, finds = sloths
    column = 0
    loose = [percentileofscore(finds[:, column], value, kind="weak") for value in background[:, column]]
    strict = [percentileofscore(finds[:, column], value, kind="strict") for value in background[:, column]]
    assert np.mean(np.array(loose) != strict) > 0.1
    assert (
        measure_novelty(background, finds).side[:, column]
        == np.sign(
            (background[:, column] > finds[:, column].max()) * 1
            - (background[:, column] < finds[:, column].min())
        )
    ).all()
