"""The climate gap: units, origins and orders are irrelevant, and more distance is never fewer sigmas."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from geo_scout.formulas.climate_difference import find_drivers
from geo_scout.formulas.climate_match import best_match, distance_of_pairs
from geo_scout.formulas.climate_spread import interannual_spread, regional_spread
from geo_scout.formulas.elevation_correction import correct_to_elevation
from geo_scout.formulas.lapse_rates import fit_lapse_rates
from geo_scout.formulas.novelty import measure_novelty
from geo_scout.formulas.sigma_dissimilarity import sigma_dissimilarity
from geo_scout.model.climate_spread import SpreadRefusal
from geo_scout.model.lapse_rates import ClimateCells

UNTIMED = settings(deadline=None, max_examples=50)  # the machine may be busy

seeds = st.integers(0, 2**32 - 1)
counts = st.integers(1, 6)


def climates(generator, variables, rows=80):
    mixing = generator.normal(size=(variables, variables)) + np.eye(variables)
    assume(np.linalg.cond(mixing) < 300)
    return generator.normal(size=(rows, variables)) @ mixing


@UNTIMED
@given(seeds, counts)
def test_units_and_origins_are_irrelevant_to_distance_and_shares(seed, variables):
    generator = np.random.default_rng(seed)
    cells = climates(generator, variables)
    factor = generator.uniform(0.01, 100, variables) * generator.choice([-1, 1], variables)
    converted = cells * factor + generator.uniform(-500, 500, variables)
    names = "abcdef"[:variables]
    difference = cells[:5] - cells[5:10]
    for spread, again in (
        (regional_spread(cells, names), regional_spread(converted, names)),
        (
            interannual_spread(cells, np.arange(80), names),
            interannual_spread(converted, np.arange(80), names),
        ),
    ):
        distance = distance_of_pairs(difference, spread)
        assert distance_of_pairs(difference * factor, again) == pytest.approx(distance, rel=1e-6)
        shares = find_drivers(difference, spread).share
        assert shares.sum(axis=1) == pytest.approx(np.ones(5))
        assert find_drivers(difference * factor, again).share == pytest.approx(shares, abs=1e-5)


@UNTIMED
@given(seeds, counts)
def test_orders_are_irrelevant_to_the_best_match(seed, variables):
    generator = np.random.default_rng(seed)
    cells = climates(generator, variables)
    sites, populations = cells[:30], cells[30:40]
    best = best_match(sites, populations, regional_spread(cells, "abcdef"[:variables]))
    of_cells, of_sites, of_populations, of_variables = (
        generator.permutation(size) for size in (80, 30, 10, variables)
    )
    spread = regional_spread(cells[of_cells][:, of_variables], "abcdef"[:variables])
    again = best_match(sites[of_sites][:, of_variables], populations[of_populations][:, of_variables], spread)
    assert again.distance == pytest.approx(best.distance[of_sites], rel=1e-6)
    assert of_populations[again.population].tolist() == best.population[of_sites].tolist()


@UNTIMED
@given(seeds, st.integers(2, 5))
def test_any_combination_of_the_others_is_refused_by_name(seed, variables):
    generator = np.random.default_rng(seed)
    cells = climates(generator, variables)
    weight = generator.uniform(0.5, 2, variables) * generator.choice([-1, 1], variables)
    innocent = generator.normal(size=(80, 1))
    rows = np.column_stack([cells, cells @ weight + 3.0, innocent])
    names = [f"v{i}" for i in range(variables)]
    found = regional_spread(rows, [*names, "sum", "innocent"])
    assert isinstance(found, SpreadRefusal)
    assert found.reason == "exact_combination"
    assert "sum" in found.variables
    assert "innocent" not in found.variables


@UNTIMED
@given(st.floats(0, 999), st.floats(1e-3, 1), st.integers(1, 8))
def test_more_distance_is_more_sigmas_and_more_variables_fewer(distance, further, dimensions):
    assume(distance > 1e-2 or distance == 0)
    near, far = sigma_dissimilarity([distance, distance + further], dimensions)
    assert 0 <= near < far <= distance + further + 1e-9 * (distance + further)
    assert sigma_dissimilarity(distance + further, dimensions + 1) < far


@UNTIMED
@given(seeds, st.integers(10, 40))
def test_novelty_is_the_same_in_any_unit_and_order(seed, populations):
    generator = np.random.default_rng(seed)
    reference = generator.integers(-20, 20, (populations, 3)).astype(float)
    assume((np.ptp(reference, axis=0) > 0).all())
    sites = generator.integers(-40, 40, (25, 3)).astype(float)
    found = measure_novelty(sites, reference)
    # powers of two keep equal values equal
    converted = measure_novelty(sites * 4 + 64, generator.permutation(reference) * 4 + 64)
    assert converted.similarity == pytest.approx(found.similarity, rel=1e-9, abs=1e-9)
    assert converted.most_dissimilar.tolist() == found.most_dissimilar.tolist()
    inside = (found.side == 0).all(axis=1)
    assert (found.similarity[inside] >= 0).all()
    assert (found.similarity[~inside] < 0).all()
    assert (found.similarity <= 100).all()


@UNTIMED
@given(seeds)
def test_lapse_rates_do_not_hang_on_sea_level_or_other_sites_and_undo_themselves(seed):
    generator = np.random.default_rng(seed)
    place = generator.uniform(0, 5e4, (2, 120))
    height = generator.uniform(0, 2_000, 120)
    months = generator.normal(0, 5, (2, 12, 1)) - height * generator.uniform(0, 7, (2, 12, 1)) / 1000
    cells = ClimateCells(*place, height, *months)
    sites = generator.uniform(1e4, 4e4, (2, 6))
    rates = fit_lapse_rates(*sites, cells)
    alone = fit_lapse_rates(*sites[:, 2:3], cells)
    assert alone.tmin_degc_per_km[:, 0] == pytest.approx(rates.tmin_degc_per_km[:, 2], rel=1e-12)
    raised = fit_lapse_rates(*sites, ClimateCells(*place, height + 500, *months))
    assert raised.tmax_degc_per_km == pytest.approx(rates.tmax_degc_per_km, rel=1e-7, abs=1e-9)
    warm = np.full((12, 6), 20.0)
    up = correct_to_elevation(warm - 15, warm, np.full(6, 1_200.0), np.full(6, 1_000.0), rates)
    back = correct_to_elevation(up.tmin_degc, up.tmax_degc, np.full(6, 1_000.0), np.full(6, 1_200.0), rates)
    assert back.tmin_degc == pytest.approx(warm - 15)
    assert back.tmax_degc == pytest.approx(warm)
