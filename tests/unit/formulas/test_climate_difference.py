"""Differences in physical units and each variable's share, by hand."""

import numpy as np
import pytest

from geo_scout.formulas.climate_difference import find_drivers, physical_difference, unseen_share
from geo_scout.formulas.climate_spread import regional_spread
from geo_scout.model.climate_spread import ClimateSpread

WHITENING = np.linalg.inv(np.linalg.cholesky(np.array([[2.0, 1.0], [1.0, 2.0]]))).T
SPREAD = ClimateSpread("regional", ("bio05", "bio06"), 100, np.array([[2.0, 1.0], [1.0, 2.0]]), WHITENING)


def test_colder_and_drier_are_below_zero_in_degrees_and_millimetres():
    sites = np.array([[-8.0, np.log(301.0), 800.0], [2.0, np.log(1.0), 900.0]])
    population = np.array([-3.9, np.log(401.0), 850.0])
    found = physical_difference(sites, population, [False, True, False])
    # bio04 in hundredths of a degree must not be taken for a logarithm: exp(800) is no number
    assert found == pytest.approx(np.array([[-4.1, -100.0, -50.0], [5.9, -400.0, 50.0]]))


def test_missing_values_stay_missing_and_inputs_stay_as_they_are():
    site, population = np.array([np.nan, 1.0]), np.array([3.0, np.nan])
    assert np.isnan(physical_difference(site, population, [False, True])).all()
    assert site[1] == 1.0


def test_every_site_against_every_population_by_broadcasting():
    sites, populations = np.zeros((3, 1, 2)), np.ones((4, 2))
    assert physical_difference(sites, populations, [False, False]).shape == (3, 4, 2)


def test_the_driver_its_share_and_what_offsets():
    # inverse of S is [[2, -1], [-1, 2]] / 3; d = (3, 1): S^-1 d = (5, -1)/3, D^2 = 14/3
    drivers = find_drivers([[3.0, 1.0], [2.0, 1.0], [1.0, -1.0], [0.0, 0.0], [np.nan, 1.0]], SPREAD)
    assert drivers.share[0] == pytest.approx([15 / 14, -1 / 14])
    assert drivers.share[1] == pytest.approx([1.0, 0.0], abs=1e-14)
    assert drivers.share[2] == pytest.approx([0.5, 0.5])
    assert np.isnan(drivers.share[3:]).all()
    assert drivers.main.tolist()[:2] == [0, 0]
    assert drivers.main.tolist()[3:] == [-1, -1]
    assert drivers.offsets.tolist() == [[False, True]] + [[False, False]] * 4


def test_shapes_are_kept():
    drivers = find_drivers(np.arange(1.0, 13.0).reshape(2, 3, 2), SPREAD)
    assert (drivers.main.shape, drivers.share.shape) == ((2, 3), (2, 3, 2))
    assert drivers.share.sum(axis=-1) == pytest.approx(np.ones((2, 3)))
    assert find_drivers(np.zeros((0, 2)), SPREAD).main.shape == (0,)


def test_nothing_is_unseen_where_all_components_are_kept():
    assert unseen_share([[3.0, 1.0], [0.0, 2.0]], SPREAD) == pytest.approx([0.0, 0.0], abs=1e-12)
    assert np.isnan(unseen_share([[0.0, 0.0], [np.nan, 1.0]], SPREAD)).all()


def test_what_the_kept_components_do_not_see():
    """Two variables that go together: of a difference across them nothing is seen, of one variable half."""
    generator = np.random.default_rng(8)
    first = generator.normal(size=100)
    spread = regional_spread(np.column_stack([first, 3 * first + 1e-3 * generator.normal(size=100)]), "ab")
    assert spread.kept == 1
    deviation = np.sqrt(spread.covariance.diagonal())
    share = unseen_share(np.array([[1.0, 1.0], [1.0, -1.0], [1.0, 0.0]]) * deviation, spread)
    assert share == pytest.approx([0.0, 1.0, 0.5], abs=1e-9)
