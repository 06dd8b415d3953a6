"""Best matches and blocks on a covariance whose inverse is easily found."""

import tracemalloc

import numpy as np
import pytest

from geo_scout.formulas import climate_match
from geo_scout.formulas.climate_match import (
    best_match,
    distance_blocks,
    distance_blocks_of_each,
    distance_of_pairs,
    regional_distance,
    whiten,
)
from geo_scout.model.climate_spread import ClimateSpread


def spread_of(covariance):
    matrix = np.array(covariance)
    whitening = np.linalg.inv(np.linalg.cholesky(matrix)).T
    return ClimateSpread("regional", tuple("abcdefgh"[: len(matrix)]), 100, matrix, whitening)


# inverse of [[2, 1], [1, 2]] is [[2, -1], [-1, 2]] / 3
SPREAD = spread_of([[2.0, 1.0], [1.0, 2.0]])


def all_blocks(sites, populations, spread=SPREAD):
    return np.concatenate([block.copy() for _, block in distance_blocks(sites, populations, spread)])


def test_distances_by_hand():
    # (1, 0): 2/3; (1, 1): 2/3; (1, -1): (2 + 1 + 1 + 2)/3 = 2
    sites, populations = [[1.0, 0.0], [1.0, 1.0], [1.0, -1.0]], [[0.0, 0.0], [1.0, 1.0]]
    expected = np.sqrt([[2 / 3, 2 / 3], [2 / 3, 0.0], [2.0, 8 / 3]])
    assert all_blocks(sites, populations) == pytest.approx(expected, abs=1e-7)
    pairs = distance_of_pairs(np.array(sites)[:, None] - np.array(populations), SPREAD)
    assert pairs == pytest.approx(expected, rel=1e-14)
    assert pairs[1, 1] == 0.0


def test_the_best_match_and_its_distance():
    best = best_match([[1.0, -1.0], [1.2, 1.0]], [[5.0, 5.0], [0.0, 0.0], [1.0, 1.0]], SPREAD)
    assert best.population.tolist() == [1, 2]
    # (0.2, 0): 2 x 0.04 / 3
    assert best.distance == pytest.approx(np.sqrt([2.0, 0.08 / 3]))


def test_equal_climates_are_exactly_zero_apart_and_the_first_of_equals_is_taken():
    climate = np.array([[1234.567, 9876.543], [np.pi * 1e6, -np.e * 1e6]])
    twice = np.vstack([climate, climate])
    best = best_match(climate, twice, SPREAD)
    assert best.population.tolist() == [0, 1]
    assert best.distance.tolist() == [0.0, 0.0]


def test_missing_climates_are_missing_and_leave_the_others_alone():
    sites = [[1.0, 0.0], [np.nan, 0.0], [3.0, np.inf]]
    populations = [[np.nan, 1.0], [0.0, 0.0], [9.0, 9.0]]
    distance = all_blocks(sites, populations)
    assert np.isnan(distance).tolist() == [[True, False, False], [True] * 3, [True] * 3]
    best = best_match(sites, populations, SPREAD)
    assert best.population.tolist() == [1, -1, -1]
    assert best.distance == pytest.approx([np.sqrt(2 / 3), np.nan, np.nan], nan_ok=True)
    nowhere = best_match(sites, [[np.nan, 1.0]], SPREAD)
    assert nowhere.population.tolist() == [-1, -1, -1]
    assert np.isnan(nowhere.distance).all()
    assert np.isnan(all_blocks(sites, [[np.nan, 1.0]])).all()


def test_no_sites_or_no_populations():
    assert list(distance_blocks(np.zeros((0, 2)), np.zeros((3, 2)), SPREAD)) == []
    assert all_blocks(np.zeros((3, 2)), np.zeros((0, 2))).shape == (3, 0)
    assert best_match(np.zeros((0, 2)), np.zeros((3, 2)), SPREAD).population.shape == (0,)
    assert best_match(np.zeros((3, 2)), np.zeros((0, 2)), SPREAD).population.tolist() == [-1, -1, -1]
    assert whiten(np.zeros((0, 2)), SPREAD).shape == (0, 2)


def test_blocks_follow_each_other_and_change_nothing(monkeypatch):
    generator = np.random.default_rng(3)
    sites, populations = generator.normal(size=(23, 2)), generator.normal(size=(4, 2))
    at_once, best = all_blocks(sites, populations), best_match(sites, populations, SPREAD)
    monkeypatch.setattr(climate_match, "_BLOCK_VALUES", 20)
    monkeypatch.setattr(climate_match, "_ROWS_PER_PRODUCT", 5)
    rows = [rows for rows, _ in distance_blocks(sites, populations, SPREAD)]
    assert [(one.start, one.stop) for one in rows] == [(0, 5), (5, 10), (10, 15), (15, 20), (20, 23)]
    assert all_blocks(sites, populations) == pytest.approx(at_once, abs=1e-7)
    again = best_match(sites, populations, SPREAD)
    assert again.population.tolist() == best.population.tolist()
    assert again.distance.tolist() == best.distance.tolist()


def test_memory_does_not_grow_with_the_pairs():
    """20,000 sites by 400 populations would be 64 MB at once; a block of 4 MB is what is held."""
    generator = np.random.default_rng(4)
    sites, populations = generator.normal(size=(20_000, 2)), generator.normal(size=(400, 2))

    def peak(run):
        tracemalloc.start()
        run()
        held = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return held

    assert peak(lambda: sum(1 for _ in distance_blocks(sites, populations, SPREAD))) < 8e6
    assert peak(lambda: best_match(sites, populations, SPREAD)) < 8e6


def test_the_regional_distance_is_the_distance_under_twice_the_covariance():
    difference = [[1.0, 0.0], [5.0, -3.0]]
    twice = distance_of_pairs(difference, spread_of(2 * SPREAD.covariance))
    assert regional_distance(distance_of_pairs(difference, SPREAD)) == pytest.approx(twice, rel=1e-14)
    assert np.isnan(regional_distance([np.nan])).all()


def test_each_population_by_its_own_covariance(monkeypatch):
    """(1, -1): D squared is 2 by the first, 1 / 4 + 1 by the second, which varies by 2 and 1."""
    own = [SPREAD, spread_of([[4.0, 0.0], [0.0, 1.0]]), None, SPREAD]
    populations = [[0.0, 0.0], [0.0, 0.0], [0.0, 0.0], [np.nan, 0.0]]
    sites = np.array([[1.0, -1.0], [0.0, 0.0], [np.inf, 1.0]] * 4)
    monkeypatch.setattr(climate_match, "_BLOCK_VALUES", 20)
    blocks = list(distance_blocks_of_each(sites, populations, own))
    assert [(rows.start, rows.stop) for rows, _ in blocks] == [(0, 5), (5, 10), (10, 12)]
    found = np.concatenate([block.copy() for _, block in distance_blocks_of_each(sites, populations, own)])
    assert found[0] == pytest.approx([np.sqrt(2.0), np.sqrt(1.25), np.nan, np.nan], nan_ok=True)
    assert found[1, :2].tolist() == [0.0, 0.0]
    assert np.isnan(found[2]).all()
    np.testing.assert_array_equal(found[3:6], found[:3])


def test_by_one_covariance_both_ways_of_taking_all_pairs_agree():
    generator = np.random.default_rng(6)
    sites, populations = generator.normal(size=(50, 2)), generator.normal(size=(7, 2))
    [(_, each)] = distance_blocks_of_each(sites, populations, [SPREAD] * 7)
    assert each == pytest.approx(all_blocks(sites, populations), abs=1e-7)
    assert each == pytest.approx(distance_of_pairs(sites[:, None] - populations, SPREAD), rel=1e-12)
