import numpy as np
import pytest
from scipy.stats import kendalltau

from geo_scout.formulas.rank_agreement import kendall_tau_b


@pytest.mark.parametrize("count", [2, 3, 9, 200])
@pytest.mark.parametrize("seed", range(4))
def test_tau_is_that_of_scipy_with_and_without_ties(count, seed):
    generator = np.random.default_rng(seed)
    for values in (generator.integers(0, max(2, count // 2), (2, count)), generator.random((2, count))):
        expected = kendalltau(*values).statistic
        assert kendall_tau_b(*values) == pytest.approx(expected, abs=1e-12, nan_ok=True)


def test_three_of_a_kind_by_hand():
    """Pairs: 6; tied in the first 1, in the second 1; of the others 3 in order, 1 not: 2 / root(5 x 5)."""
    assert kendall_tau_b([1, 1, 2, 3], [1, 2, 3, 2]) == pytest.approx(2 / 5)


def test_the_same_order_is_one_and_the_opposite_minus_one():
    assert kendall_tau_b([3, 1, 2], [30, 10, 20]) == 1.0
    assert kendall_tau_b([3, 1, 2], [-3, -1, -2]) == -1.0


@pytest.mark.parametrize("rows", [([], []), ([1], [1]), ([1, 1], [1, 2])])
def test_without_a_pair_told_apart_there_is_no_tau(rows):
    assert np.isnan(kendall_tau_b(*rows))


def test_what_cannot_be_compared_is_refused():
    with pytest.raises(ValueError, match="cannot be compared"):
        kendall_tau_b([1, 2], [1])
    with pytest.raises(ValueError, match="no place in the order"):
        kendall_tau_b([1, np.nan], [1, 2])
