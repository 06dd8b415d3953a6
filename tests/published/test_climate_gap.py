"""The climate gap, from the zone table to the measure, against scipy.spatial.distance.mahalanobis / sqrt 2.

SciPy gets the numbers of the test, not of the program: raw climate, its own logarithm of rain, NumPy's
covariance and its plain inverse. Agreement to 1e-9: both invert a matrix of condition below 1e3.
"""

import importlib.util
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.sparse import csr_array
from scipy.spatial.distance import mahalanobis

from geo_scout.criteria import climate_gap
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.quantities import collect_quantities

VARIABLES = ["bio05", "bio06", "bio12"]
SITES, CELLS = 12, 60


def load_books():
    path = Path(__file__).parents[1] / "site_books.py"
    spec = importlib.util.spec_from_file_location("site_books", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


BOOKS = load_books()


def climates(random, count):
    """Return correlated climates: warmest and coldest month [degc] and rain [mm]."""
    height = random.normal(0, 1, count)
    warm = 28 - 2 * height + random.normal(0, 0.7, count)
    cold = -12 - 1.5 * height + random.normal(0, 0.9, count)
    rain = np.exp(6 + 0.3 * height + random.normal(0, 0.2, count))
    return np.column_stack([warm, cold, rain])


def zone_table(sites, populations, cells):
    """Return zones whose patches together touch all cells, five each."""
    index = [("patch", BOOKS.HOST, f"A-{n:02d}") for n in range(len(sites))]
    index += [("population", BOOKS.AGENT, f"at R{n}") for n in range(len(populations))]
    mean = pd.DataFrame(
        np.vstack([sites, populations]), index=pd.MultiIndex.from_tuples(index), columns=VARIABLES
    )
    touches = np.zeros((len(index), len(cells)))
    touches[np.arange(len(cells)) % len(sites), np.arange(len(cells))] = 1
    return ZoneTable(
        mean, pd.DataFrame(index=mean.index), pd.DataFrame(cells, columns=VARIABLES), csr_array(touches)
    )


def gap(sites, populations, cells, known=(), variables=VARIABLES):
    profile = BOOKS.agent(climate={"variables": variables}, known_populations=list(known))
    rows = [BOOKS.site(f"A-{n:02d}") for n in range(len(sites))]
    found = [{"population_id": f"at R{n}", "name": f"find R{n}"} for n in range(len(populations))]
    columns = collect_quantities(
        profile,
        BOOKS.season(profile),
        BOOKS.sites(rows),
        BOOKS.evidence(rows, found),
        zone_table(sites, populations, cells),
    )
    return climate_gap.measure({need: columns[need] for need in climate_gap.NEEDS})


def logged(climate):
    return np.column_stack([climate[:, 0], climate[:, 1], np.log(climate[:, 2] + 1)])


def scipy_gaps(sites, populations, cells):
    """Return SciPy's distances over sqrt 2, (sites, populations)."""
    inverse = np.linalg.inv(np.cov(logged(cells), rowvar=False))
    pairs = [[mahalanobis(one, other, inverse) for other in logged(populations)] for one in logged(sites)]
    return np.array(pairs) / np.sqrt(2)


@pytest.fixture
def numbers():
    random = np.random.default_rng(1936)
    return climates(random, SITES), climates(random, 4), climates(random, CELLS)


def test_the_gap_is_scipy_s_distance_over_root_two_to_the_best_match(numbers):
    expected = scipy_gaps(*numbers)
    measured = gap(*numbers)
    np.testing.assert_allclose(measured.value, expected.min(axis=1), rtol=1e-9)
    np.testing.assert_allclose(
        measured.details["climate_gap_distance"], expected.min(axis=1) * np.sqrt(2), rtol=1e-9
    )
    best = [f"find R{n}" for n in expected.argmin(axis=1)]
    assert measured.details["climate_gap_population"].tolist() == best
    assert len(set(best)) > 1
    assert measured.details["climate_gap_cells"].tolist() == [CELLS] * SITES
    assert measured.details["climate_gap_populations"].tolist() == [4] * SITES


def test_rain_enters_as_its_logarithm(numbers):
    """With rain as it is the distances would differ by more than a hundredth."""
    sites, populations, cells = numbers
    inverse = np.linalg.inv(np.cov(cells, rowvar=False))
    raw = [min(mahalanobis(one, other, inverse) for other in populations) / np.sqrt(2) for one in sites]
    assert np.abs(gap(*numbers).value - raw).max() > 0.01


def test_a_known_population_given_by_values_counts_like_a_found_one(numbers):
    sites, populations, cells = numbers
    stated = dict(zip(VARIABLES, sites[3].tolist(), strict=True))
    stated["bio05"] += 0.05
    measured = gap(*numbers, known=[{"name": "Old ground", "climate": stated}])
    together = np.vstack([populations, list(stated.values())])
    np.testing.assert_allclose(measured.value, scipy_gaps(sites, together, cells).min(axis=1), rtol=1e-9)
    assert measured.details["climate_gap_population"][3] == "Old ground"
    assert measured.details["climate_gap_populations"][0] == 5


def test_a_known_population_alone_is_evidence_and_none_at_all_is_not(numbers):
    sites, _, cells = numbers
    nobody = np.zeros((0, 3))
    known = [{"name": "Old ground", "climate": dict(zip(VARIABLES, [28.0, -12.0, 400.0], strict=True))}]
    alone = gap(sites, nobody, cells, known)
    np.testing.assert_allclose(
        alone.value, scipy_gaps(sites, np.array([[28.0, -12.0, 400.0]]), cells)[:, 0], rtol=1e-9
    )
    none = gap(sites, nobody, cells)
    assert not none.known.any()
    assert none.note[0] == "no climate evidence: no confirmed or known population has a climate"


def test_ten_cells_for_each_variable_are_needed(numbers):
    sites, populations, cells = numbers
    assert gap(sites, populations, cells[:30]).known.all()
    short = gap(sites, populations, cells[:29])
    assert not short.known.any()
    assert short.note[0].startswith("29 climate cells or stations hold the host and 3 variables need 30;")


def test_nearly_dependent_variables_are_named_and_not_scored(numbers):
    """The coldest month is the warmest less 40, to a hundred-thousandth of a degree."""
    sites, populations, cells = (one.copy() for one in numbers)
    cells[:, 1] = cells[:, 0] - 40 + 1e-5 * np.random.default_rng(2).normal(size=CELLS)
    measured = gap(sites, populations, cells)
    assert not measured.known.any()
    assert measured.note[0] == (
        "bio05, bio06 cannot be told apart in the reference: each follows from the others; leave one out"
    )


def test_strongly_related_variables_are_still_scored_rightly(numbers):
    """Correlation 0.999: a condition of some thousands, so 1e-6 instead of 1e-9."""
    sites, populations, cells = (one.copy() for one in numbers)
    cells[:, 1] = cells[:, 0] - 40 + 0.1 * np.random.default_rng(2).normal(size=CELLS)
    measured = gap(sites, populations, cells)
    np.testing.assert_allclose(measured.value, scipy_gaps(sites, populations, cells).min(axis=1), rtol=1e-6)
    assert measured.details["climate_gap_components"].tolist() == [3] * SITES


def test_components_that_hardly_vary_are_left_out_and_said(numbers):
    """Two variables that differ by 0.003 degC: the distance is that of NumPy's truncated pseudo-inverse."""
    sites, populations, cells = (one.copy() for one in numbers)
    cells[:, 1] = cells[:, 0] - 40 + 0.003 * np.random.default_rng(2).normal(size=CELLS)
    measured = gap(sites, populations, cells)
    covariance = np.cov(logged(cells), rowvar=False)
    deviation = np.sqrt(np.diag(covariance))
    # Of three eigenvalues of the correlation the least is 1e-6 of the largest; rcond leaves it out.
    inverse = np.linalg.pinv(covariance / np.outer(deviation, deviation), rcond=1e-4, hermitian=True)
    apart = (logged(sites)[:, None, :] - logged(populations)[None, :, :]) / deviation
    squared = np.einsum("ijk,kl,ijl->ij", apart, inverse, apart)
    np.testing.assert_allclose(measured.value, np.sqrt(squared.min(axis=1) / 2), rtol=1e-6)
    assert measured.details["climate_gap_components"].tolist() == [2] * SITES
    assert "; compared in 2 of 3 components, the others hardly vary" in measured.note[0]


def test_units_do_not_matter(numbers):
    """Temperatures in tenths of a degree give the same gap (rain is logged, so its unit stays)."""
    sites, populations, cells = (one * [10.0, 10.0, 1.0] for one in numbers)
    np.testing.assert_allclose(gap(sites, populations, cells).value, gap(*numbers).value, rtol=1e-9)
