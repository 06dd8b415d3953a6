"""Dominance, sure only where what is missing cannot change it."""

import numpy as np
import pytest

from geo_scout.formulas.dominance import dominated_pairs, dominators


def pairs(low, high=None):
    return list(
        zip(*(part.tolist() for part in dominated_pairs(low, low if high is None else high)), strict=True)
    )


def test_better_in_one_and_worse_in_none():
    assert pairs([[0.5, 0.5], [0.5, 0.6], [0.4, 0.9], [0.6, 0.6]]) == [(1, 0), (3, 0), (3, 1)]


def test_equal_sites_do_not_dominate_each_other():
    assert pairs([[0.5, 0.5], [0.5, 0.5]]) == []


def test_an_interval_dominates_only_where_it_must():
    low = [[0.6, 0.6], [0.2, 0.5], [0.2, 0.5]]
    high = [[0.7, 0.6], [0.6, 0.5], [0.7, 0.5]]
    assert pairs(low, high) == [(0, 1)]
    assert dominators(low, high, 1).tolist() == [0]
    assert dominators(low, high, 2).tolist() == []


def test_a_missing_value_is_in_no_pair():
    assert pairs([[np.nan, 0.1], [0.9, 0.9], [0.1, 0.1]]) == [(1, 2)]


def test_nobody():
    assert pairs(np.empty((0, 3))) == []


def test_against_every_pair_one_after_the_other():
    values = np.random.default_rng(3).integers(0, 4, (40, 3)) / 4
    expected = [
        (one, other)
        for one in range(40)
        for other in range(40)
        if all(values[one] >= values[other]) and any(values[one] > values[other])
    ]
    assert len(expected) > 100
    assert pairs(values) == expected
    for site in range(40):
        assert dominators(values, values, site).tolist() == [one for one, other in expected if other == site]


def test_shapes_that_differ_are_refused():
    with pytest.raises(ValueError, match="must match"):
        dominated_pairs([[1.0]], [[1.0, 1.0]])
