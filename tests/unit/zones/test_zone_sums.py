import numpy as np
import pytest
from scipy.sparse import csr_array

from geo_scout.zones.zone_sums import ZoneSums

# Zone 0 covers 1 of cell 0 and 3 of cell 1, zone 1 covers 2 of cell 1, zone 2 nothing.
WEIGHTS = csr_array(np.array([[1.0, 3.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 0.0]]))


def test_means_totals_and_shares_by_hand():
    sums = ZoneSums(WEIGHTS)
    sums.add(np.array([0, 1, 2]), {"a": np.array([10.0, 20.0, 99.0]), "b": np.array([np.nan, 5.0, 1.0])})
    np.testing.assert_allclose(sums.mean("a"), [17.5, 20.0, np.nan])
    np.testing.assert_allclose(sums.total("a"), [70.0, 40.0, 0.0])
    np.testing.assert_allclose(sums.mean("b"), [5.0, 5.0, np.nan])
    np.testing.assert_allclose(sums.share("b"), [0.75, 1.0, 0.0])


@pytest.mark.parametrize("parts", [[[0], [1, 2]], [[2, 0, 1]], [[1], [2], [0]]])
def test_cells_may_come_in_any_order_a_few_at_a_time(parts):
    values = np.array([10.0, 20.0, 99.0])
    sums = ZoneSums(WEIGHTS)
    for part in parts:
        sums.add(np.array(part), {"a": values[part]})
    np.testing.assert_allclose(sums.mean("a"), [17.5, 20.0, np.nan])


def test_what_was_never_added_is_missing_everywhere():
    sums = ZoneSums(WEIGHTS)
    assert np.isnan(sums.mean("a")).all()
    np.testing.assert_array_equal(sums.share("a"), np.zeros(3))
    np.testing.assert_array_equal(sums.total("a"), np.zeros(3))


def test_against_the_dense_product():
    random = np.random.default_rng(5)
    weights = csr_array(random.uniform(0, 1, (7, 30)) * (random.uniform(size=(7, 30)) < 0.3))
    values = random.normal(size=30)
    sums = ZoneSums(weights)
    for part in np.array_split(random.permutation(30), 4):
        sums.add(part, {"a": values[part]})
    dense = weights.toarray()
    np.testing.assert_allclose(sums.mean("a"), dense @ values / dense.sum(axis=1), rtol=1e-12)
