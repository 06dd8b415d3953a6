"""Climate distance on two variables whose inverse covariance is easily found."""

import numpy as np
import pytest

from geo_scout.formulas import climate_distance
from geo_scout.formulas.climate_distance import (
    condition_problem,
    covariance,
    mahalanobis,
    regional_distance,
    share_of_distance,
    with_log_precipitation,
)

# inverse of [[2, 1], [1, 2]] is [[2, -1], [-1, 2]] / 3
SPREAD = np.array([[2.0, 1.0], [1.0, 2.0]])


def test_covariance_by_hand_without_the_incomplete_rows():
    cells = [[1.0, 10.0], [2.0, 14.0], [3.0, 12.0], [np.nan, 99.0], [7.0, np.inf]]
    assert covariance(cells) == pytest.approx(np.array([[1.0, 1.0], [1.0, 4.0]]))


@pytest.mark.parametrize("rows", [0, 1])
def test_covariance_of_too_few_cells_is_unknown(rows):
    found = covariance(np.zeros((rows, 3)))
    assert found.shape == (3, 3)
    assert np.isnan(found).all()


def test_distance_by_hand():
    # (1, 0): 2/3; (1, 1): (2 - 1 - 1 + 2)/3 = 2/3; (1, -1): (2 + 1 + 1 + 2)/3 = 2
    distance = mahalanobis([[1.0, 0.0], [1.0, 1.0], [1.0, -1.0]], [[0.0, 0.0], [1.0, 1.0]], SPREAD)
    assert distance**2 == pytest.approx(np.array([[2 / 3, 2 / 3], [2 / 3, 0.0], [2.0, 8 / 3]]))


def test_equal_climates_are_exactly_zero_apart_even_for_large_numbers():
    climate = np.array([[1234.567, 9876.543], [np.pi * 1e6, -np.e * 1e6]])
    distance = mahalanobis(climate, climate[::-1], SPREAD)
    assert distance[0, 1] == distance[1, 0] == 0.0


def test_missing_climates_give_missing_distances_and_leave_the_others_alone():
    whole = mahalanobis([[1.0, 0.0], [3.0, 3.0]], [[0.0, 0.0]], SPREAD)
    sites = [[1.0, 0.0], [np.nan, 0.0], [3.0, 3.0]]
    distance = mahalanobis(sites, [[np.nan, 1.0], [0.0, 0.0]], SPREAD)
    assert np.isnan(distance).tolist() == [[True, False], [True, True], [True, False]]
    assert distance[[0, 2], 1] == pytest.approx(whole[:, 0], rel=1e-14)
    assert np.isnan(mahalanobis(sites, [[np.nan, np.nan]], SPREAD)).all()


def test_blocks_change_nothing(monkeypatch):
    generator = np.random.default_rng(3)
    sites, populations = generator.normal(size=(23, 2)), generator.normal(size=(4, 2))
    at_once = mahalanobis(sites, populations, SPREAD)
    monkeypatch.setattr(climate_distance, "_ROWS_PER_BLOCK", 5)
    assert mahalanobis(sites, populations, SPREAD) == pytest.approx(at_once, rel=1e-14)


def test_no_sites_or_no_populations():
    assert mahalanobis(np.zeros((0, 2)), np.zeros((3, 2)), SPREAD).shape == (0, 3)
    assert mahalanobis(np.zeros((3, 2)), np.zeros((0, 2)), SPREAD).shape == (3, 0)
    assert share_of_distance(np.zeros((0, 2)), SPREAD).shape == (0, 2)
    assert with_log_precipitation(np.zeros((0, 2)), [True, False]).shape == (0, 2)
    assert condition_problem(np.zeros((0, 0)), []) == ()


@pytest.mark.parametrize(
    "unusable",
    [np.full((2, 2), np.nan), np.zeros((2, 2)), [[1.0, 2.0], [2.0, 1.0]], np.ones((2, 3)), np.zeros((0, 0))],
)
def test_a_covariance_that_is_none_is_refused(unusable):
    with pytest.raises(ValueError, match="positive definite"):
        mahalanobis([[0.0, 0.0]], [[0.0, 0.0]], unusable)
    with pytest.raises(ValueError, match="positive definite"):
        share_of_distance([0.0, 0.0], unusable)


def test_regional_distance_is_the_distance_under_twice_the_covariance():
    sites, populations = [[1.0, 0.0], [5.0, -3.0]], [[0.0, 0.0]]
    twice = mahalanobis(sites, populations, 2 * SPREAD)
    assert regional_distance(mahalanobis(sites, populations, SPREAD)) == pytest.approx(twice, rel=1e-14)
    assert np.isnan(regional_distance([np.nan])).all()


def test_shares_by_hand():
    # d = (2, 1): S^-1 d = (1, 0), so the second variable adds nothing
    shares = share_of_distance([[2.0, 1.0], [1.0, -1.0], [3.0, 1.0], [0.0, 0.0], [np.nan, 1.0]], SPREAD)
    assert shares[0] == pytest.approx([1.0, 0.0], abs=1e-15)
    assert shares[1] == pytest.approx([0.5, 0.5])
    # d = (3, 1): S^-1 d = (5, -1)/3, terms 15/3 and -1/3, D^2 = 14/3: the second offsets
    assert shares[2] == pytest.approx([15 / 14, -1 / 14])
    assert np.isnan(shares[3:]).all()


def test_shares_keep_the_shape_of_the_differences():
    differences = np.arange(1.0, 13.0).reshape(2, 3, 2)
    shares = share_of_distance(differences, SPREAD)
    assert shares.shape == (2, 3, 2)
    assert shares.sum(axis=-1) == pytest.approx(np.ones((2, 3)))
    assert shares[1, 2] == pytest.approx(share_of_distance(differences[1, 2], SPREAD))


def test_an_exact_combination_is_named_without_the_innocent():
    generator = np.random.default_rng(1)
    highest, lowest, rain = generator.normal(size=(3, 200))
    cells = np.column_stack([highest, rain * 400, lowest * 3, highest - lowest * 3])
    names = ["bio05", "bio12", "bio06", "bio07"]
    assert condition_problem(covariance(cells), names) == ("bio05", "bio06", "bio07")
    assert condition_problem(covariance(cells[:, :3]), names[:3]) == ()


def test_units_do_not_make_a_problem():
    assert condition_problem(np.diag([1e-12, 1.0, 1e12]), ["a", "b", "c"]) == ()


def test_variables_without_spread_are_named():
    assert condition_problem([[1.0, 0.0], [0.0, 0.0]], ["a", "b"]) == ("b",)
    assert condition_problem(np.full((2, 2), np.nan), ["a", "b"]) == ("a", "b")


def test_two_separate_combinations_are_both_named():
    generator = np.random.default_rng(2)
    first, second, third = generator.normal(size=(3, 100))
    cells = np.column_stack([first, 2 * first, second, -second, third])
    assert condition_problem(covariance(cells), ["a", "b", "c", "d", "e"]) == ("a", "b", "c", "d")


def test_log_precipitation_touches_only_its_columns_and_not_the_input():
    values = np.array([[-5.0, 0.0, 99.0], [1.0, -0.1, np.nan]])
    before = values.copy()
    logged = with_log_precipitation(values, [False, True, True])
    assert logged[0] == pytest.approx([-5.0, 0.0, np.log(100.0)])
    assert logged[1, 0] == 1.0
    assert np.isnan(logged[1, 1:]).all()
    np.testing.assert_array_equal(values, before)
