import numpy as np
import pytest

from geo_scout.criteria.climate_gap import gaps_at_lapse_errors, measure
from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.quantities import CLIMATE_VARIABLES, LAPSED_VARIABLES

CELLS = np.array([[first, second] for first in (-2.0, 2.0) for second in (-1.0, 1.0)] * 10)
STRETCH = 40 / 39


def columns(site, population, variables=("bio05", "bio12")):
    count = len(population)
    return {
        "site_climate": np.array(site, dtype=float),
        "population_climate": np.array(population, dtype=float),
        "climate_cells": CELLS,
        "climate_variables": np.array(variables, dtype=object),
        "population_names": np.array(["Ground"] * count, dtype=object),
        "population_site_ids": np.array([""] * count, dtype=object),
        "population_years": np.full(count, None, dtype=object),
        "climate_gap_kind": np.array(["regional"], dtype=object),
    }


def test_an_error_moves_temperatures_by_the_rise_and_rain_not_at_all():
    """2 degC warmer and 1 wetter, 0.5 km up: by an error of 2 per km it is 1 degC colder than that."""
    given = columns([[2.0, 1.0]], [[0.0, 0.0]])
    gaps = gaps_at_lapse_errors(given, [0.5], [0.0], [0.0, 2.0])
    expected = [np.sqrt((4 / 4 + 1) / STRETCH / 2), np.sqrt((1 / 4 + 1) / STRETCH / 2)]
    np.testing.assert_allclose(gaps[0], expected, rtol=1e-12)


def test_a_population_moves_too_and_what_moves_alike_stays_as_far():
    given = columns([[2.0, 1.0]], [[0.0, 0.0]])
    gaps = gaps_at_lapse_errors(given, [0.5], [0.5], [-1.0, 0.0, 1.0])
    np.testing.assert_allclose(gaps, gaps[0, 1], rtol=1e-12)


def test_without_an_error_it_is_the_measured_gap_and_unknown_stays_unknown():
    given = columns([[2.0, 1.0], [np.nan, 1.0]], [[0.0, 0.0], [1.0, np.nan]])
    gaps = gaps_at_lapse_errors(given, [0.5, 0.5], [0.0, 0.0], [0.0])
    np.testing.assert_array_equal(gaps[:, 0], measure(given).value)


def test_single_years_of_a_population_are_measured_likewise():
    random = np.random.default_rng(1)
    given = columns([[2.0, 1.0]], [[0.0, 0.0]])
    years = np.empty(1, dtype=object)
    years[0] = (np.arange(1990, 2020), random.normal(size=(30, 2)))
    given |= {"climate_gap_kind": np.array(["interannual"], dtype=object), "population_years": years}
    gaps = gaps_at_lapse_errors(given, [0.5], [0.0], [0.0, 2.0])
    assert gaps[0, 0] == pytest.approx(measure(given).value[0], rel=1e-12)
    assert gaps[0, 1] < gaps[0, 0]


def test_a_spread_that_is_refused_gives_no_gap():
    given = columns([[2.0, 1.0]], [[0.0, 0.0]]) | {"climate_cells": CELLS[:3]}
    assert np.isnan(gaps_at_lapse_errors(given, [0.5], [0.0], [0.0, 1.0])).all()


def test_which_variables_a_shift_of_all_months_moves():
    random = np.random.default_rng(3)
    tmin = random.normal(0, 6, (12, 5)).cumsum(axis=0) / 3
    tmax, rain = tmin + random.uniform(5, 15, (12, 5)), random.uniform(1, 90, (12, 5))
    before, after = bioclim(tmin, tmax, rain), bioclim(tmin - 0.7, tmax - 0.7, rain)
    for name in CLIMATE_VARIABLES:
        moved = -0.7 if name in LAPSED_VARIABLES else 0.0
        np.testing.assert_allclose(after[name] - before[name], moved, atol=1e-9, err_msg=name)
