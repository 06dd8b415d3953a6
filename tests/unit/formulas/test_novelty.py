"""Novelty: which variable, which side, and when nothing is scored."""

import numpy as np
import pytest

from geo_scout.formulas.novelty import measure_novelty

TEN = np.column_stack([np.arange(1.0, 11.0), np.arange(10.0, 0.0, -1.0) * 100])


def test_the_least_similar_variable_and_the_side():
    found = measure_novelty([[5.5, 550.0], [12.0, 550.0], [5.5, 10.0], [0.0, 1200.0]], TEN)
    # 12: 100 (10 - 12)/9; 10: 100 (10 - 100)/900 = -10; 0: -100/9 and 1200: -200/9
    assert found.similarity == pytest.approx([100, -200 / 9, -10, -200 / 9])
    assert found.most_dissimilar.tolist() == [0, 0, 1, 1]
    assert found.side.tolist() == [[0, 0], [1, 0], [0, -1], [-1, 1]]
    assert (found.low.tolist(), found.high.tolist()) == ([1.0, 100.0], [10.0, 1000.0])
    assert (found.populations, found.is_scored) == (10, True)


@pytest.mark.parametrize("count", [0, 1, 9])
def test_under_ten_populations_only_the_range_is_told(count):
    found = measure_novelty([[5.5, 550.0], [99.0, 1.0]], TEN[:count])
    assert not found.is_scored
    assert np.isnan(found.similarity).all()
    assert np.isnan(found.by_variable).all()
    assert found.most_dissimilar.tolist() == [-1, -1]
    assert found.populations == count
    if count:
        assert (found.low[0], found.high[0]) == (1.0, float(count))
        assert found.side[1].tolist() == [1, -1]
    else:
        assert np.isnan([found.low, found.high]).all()
        assert not found.side.any()


def test_a_variable_without_range_stops_the_score_and_is_told():
    flat = TEN.copy()
    flat[:, 1] = 400.0
    found = measure_novelty([[5.5, 400.0], [5.5, 401.0]], flat)
    assert not found.is_scored
    assert np.isnan(found.similarity).all()
    assert found.has_range.tolist() == [True, False]
    assert found.by_variable[:, 0] == pytest.approx([100.0, 100.0])
    assert found.side.tolist() == [[0, 0], [0, 1]]


def test_missing_values():
    reference = np.vstack([TEN, [np.nan, 500.0]])
    found = measure_novelty([[np.nan, 550.0], [5.5, 550.0]], reference)
    assert found.populations == 10
    assert np.isnan(found.similarity).tolist() == [True, False]
    assert found.by_variable[0] == pytest.approx([np.nan, 100.0], nan_ok=True)
    assert found.most_dissimilar.tolist() == [-1, 0]
    assert found.side[0].tolist() == [0, 0]


def test_no_sites():
    assert measure_novelty(np.zeros((0, 2)), TEN).similarity.shape == (0,)
