"""Criteria that count one thing twice."""

import numpy as np
import pytest
from scipy.stats import spearmanr

from geo_scout.formulas.redundancy import rank_correlation, redundant_criteria


@pytest.mark.parametrize("seed", range(4))
def test_scipy_with_and_without_ties_and_gaps(seed):
    generator = np.random.default_rng(seed)
    first, second = generator.integers(0, 6, 60) / 5, generator.random(60)
    second[::7] = np.nan
    known = ~np.isnan(second)
    expected = spearmanr(first[known], second[known]).statistic
    assert rank_correlation(first, second) == pytest.approx(expected, abs=1e-12)


def test_by_hand():
    # places 1 2 3 4 5 and 2 1 4 3 5: 1 - 6 x (1 + 1 + 1 + 1 + 0) / (5 x 24) = 0.8
    assert rank_correlation([1, 2, 3, 4, 5], [20, 10, 40, 30, 50]) == pytest.approx(0.8)


def test_what_does_not_vary_or_is_not_known_has_no_correlation():
    assert np.isnan(rank_correlation([1, 1, 1], [1, 2, 3]))
    assert np.isnan(rank_correlation([1, np.nan, 3], [1, 2, np.nan]))


def test_pairs_above_the_level_are_named_and_trade_offs_are_not():
    host = np.arange(20.0)
    noisy = np.where(
        np.arange(20) == 19, -1.0, host
    )  # the last becomes the least: 1 - 6 x 380 / 7980 = 0.714
    values = np.column_stack([host, noisy, -host, host**3, np.ones(20)])
    found = redundant_criteria(values, level=0.7)
    assert [(pair.first, pair.second) for pair in found] == [(0, 3), (0, 1), (1, 3)]
    assert [pair.correlation for pair in found] == pytest.approx(
        [1.0, 1 - 6 * 380 / 7980, 1 - 6 * 380 / 7980]
    )
    assert {pair.site_count for pair in found} == {20}
    assert [(pair.first, pair.second) for pair in redundant_criteria(values, level=0.72)] == [(0, 3)]


def test_few_sites_are_not_judged():
    column = np.arange(9.0)
    assert redundant_criteria(np.column_stack([column, column]), 0.9) == []
    assert len(redundant_criteria(np.column_stack([column, column]), 0.9, least_sites=9)) == 1


def test_a_list_is_no_table():
    with pytest.raises(ValueError, match="a table of sites and criteria"):
        redundant_criteria([1.0, 2.0], 0.9)
