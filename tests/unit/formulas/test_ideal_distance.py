"""Closeness to the ideal at its edges."""

import numpy as np
import pytest

from geo_scout.formulas.ideal_distance import (
    ideal_closeness,
    ideal_closeness_changed,
    ideal_closeness_interval,
    ideal_closeness_of_newcomers,
)


def test_by_hand():
    # column 1: squares 0.36 + 0.64 = 1; column 2: 0.64 + 0.36 = 1; weights 3/4 and 1/4.
    # first: 0.75 x 0.2 = 0.15 below the best, 0.25 x 0.2 = 0.05 above the worst: 0.05 / 0.20
    assert ideal_closeness([[0.6, 0.8], [0.8, 0.6]], [0.75, 0.25]) == pytest.approx([0.25, 0.75])


def test_sites_all_alike_and_a_site_alone_are_neither_near_nor_far():
    assert ideal_closeness([[0.2, 0.7], [0.2, 0.7]], [0.5, 0.5]).tolist() == [0.5, 0.5]
    assert ideal_closeness([[0.2, 0.7]], [0.5, 0.5]).tolist() == [0.5]
    assert ideal_closeness(np.empty((0, 2)), [0.5, 0.5]).shape == (0,)


def test_a_column_of_zeros_says_nothing():
    assert ideal_closeness([[0.0, 0.2], [0.0, 0.7]], [0.9, 0.1]).tolist() == [0.0, 1.0]


def test_a_site_with_a_missing_value_moves_nobody_else():
    values = [[0.6, 0.8], [np.nan, 1.0], [0.8, 0.6]]
    closeness = ideal_closeness(values, [0.75, 0.25])
    assert closeness[[0, 2]] == pytest.approx([0.25, 0.75])
    assert np.isnan(closeness[1])
    assert ideal_closeness([[0.6, np.nan], [0.8, 0.6]], [1.0, 0.0]).tolist() == [0.0, 1.0]


def test_interval_keeps_what_is_known_and_says_what_is_not():
    low = [[0.6, 0.8], [0.8, 0.0], [np.nan, 0.5]]
    high = [[0.6, 0.8], [0.8, 0.6], [0.5, 0.5]]
    lowest, highest = ideal_closeness_interval(low, high, [0.75, 0.25])
    # with 0.6 in its place the second has the 0.75 of the case by hand
    assert highest[1] == pytest.approx(0.75)
    assert lowest[1] < highest[1]
    assert lowest[0] == highest[0]
    assert np.isnan([lowest[2], highest[2]]).all()


def test_interval_of_a_site_alone():
    lowest, highest = ideal_closeness_interval([[0.1, 0.2]], [[0.5, 0.2]], [0.5, 0.5])
    assert (lowest.tolist(), highest.tolist()) == ([0.5], [0.5])


def test_what_does_not_go_together_is_refused():
    with pytest.raises(ValueError, match="do not go with weights"):
        ideal_closeness([[1.0, 1.0]], [1.0])
    with pytest.raises(ValueError, match="0 or more"):
        ideal_closeness([[-1.0, 1.0]], [0.5, 0.5])
    with pytest.raises(ValueError, match="no low may be above its high"):
        ideal_closeness_interval([[0.5, 0.5]], [[0.4, 0.5]], [0.5, 0.5])


@pytest.mark.parametrize("seed", range(4))
def test_a_newcomer_has_the_closeness_it_would_have_in_the_list(seed):
    generator = np.random.default_rng(seed)
    rows, joining, weights = (
        generator.random((7, 3)),
        generator.random((4, 3)),
        generator.dirichlet(np.ones(3)),
    )
    found = ideal_closeness_of_newcomers(rows, joining, weights)
    expected = [ideal_closeness(np.vstack([rows, one]), weights)[-1] for one in joining]
    np.testing.assert_allclose(found, expected, rtol=1e-12)


def test_a_newcomer_to_nobody_is_as_good_as_as_bad():
    assert ideal_closeness_of_newcomers(np.empty((0, 2)), [[0.2, 1.0]], [0.5, 0.5]).tolist() == [0.5]
    assert len(ideal_closeness_of_newcomers([[0.2, 1.0]], np.empty((0, 2)), [0.5, 0.5])) == 0
    assert np.isnan(ideal_closeness_of_newcomers([[0.2, 1.0]], [[np.nan, 1.0]], [0.5, 0.5])[0])


@pytest.mark.parametrize("seed", range(4))
def test_a_change_gives_the_closeness_of_the_changed_list(seed):
    """Changed for the better or the worse, one site at a time."""
    generator = np.random.default_rng(seed)
    rows, weights = generator.random((6, 3)), generator.dirichlet(np.ones(3))
    changed = np.where(generator.random(rows.shape) < 0.4, generator.random(rows.shape), rows)
    found = ideal_closeness_changed(rows, changed, weights)
    for site in range(len(rows)):
        other = rows.copy()
        other[site] = changed[site]
        assert found[site] == pytest.approx(ideal_closeness(other, weights)[site], rel=1e-12)


def test_tables_of_two_shapes_do_not_go_together():
    with pytest.raises(ValueError, match="do not go with changed ones"):
        ideal_closeness_changed([[0.1, 0.2]], [[0.1, 0.2], [0.3, 0.4]], [0.5, 0.5])
