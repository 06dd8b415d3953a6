"""Which change of one weight changes the order, against scanning all weights."""

import numpy as np
import pytest

from geo_scout.formulas.combining import rank_by_score, weighted_sum
from geo_scout.formulas.weight_change import changed_weights, swap_weights, weight_across_cut


def test_changed_weights_keep_the_proportions_of_the_others():
    assert changed_weights([0.5, 0.3, 0.2], 1, 0.65) == pytest.approx([0.25, 0.65, 0.1])
    assert changed_weights([0.5, 0.5, 0.0], 2, 1.0).tolist() == [0.0, 0.0, 1.0]
    with pytest.raises(ValueError, match=r"1\.5 is outside"):
        changed_weights([0.5, 0.5], 0, 1.5)
    with pytest.raises(ValueError, match="one weight has it all"):
        changed_weights([1.0, 0.0], 0, 0.5)


def test_swap_by_hand():
    # Weights 0.5 0.3 0.2. First weight: the others alone score 0.6 x 0.2 + 0.4 x 0.5 = 0.32 and
    # 0.6 x 0.8 + 0.4 x 0.5 = 0.68; level at (0.32 - 0.68) / ((0.32 - 0.68) - (0.9 - 0.3)) = 0.375.
    # Second: others (0.5 x 0.9 + 0.2 x 0.5) / 0.7 and (0.5 x 0.3 + 0.1) / 0.7 differ by 3/7; level at
    # (3/7) / (3/7 + 0.6) = 5/12. Third: the others differ by (0.45 + 0.06 - 0.15 - 0.24) / 0.8 = 0.15 and the
    # criterion itself by nothing: level only at 1, where nobody is past it.
    found = swap_weights([[0.9, 0.2, 0.5]], [[0.3, 0.8, 0.5]], [0.5, 0.3, 0.2])
    assert found.equal_at[0, :2] == pytest.approx([0.375, 5 / 12])
    assert np.isnan(found.equal_at[0, 2])
    assert np.isnan(found.checked_at[0, 2])
    assert found.criterion.tolist() == [1]  # 0.3 to 0.417 is less than 0.5 to 0.375
    assert found.checked_at[0, 0] < 0.375
    assert found.checked_at[0, 1] > 5 / 12


def test_a_dominated_site_passes_at_no_weight():
    found = swap_weights([[0.9, 0.9]], [[0.3, 0.8]], [0.5, 0.5])
    assert np.isnan(found.equal_at).all()
    assert found.criterion.tolist() == [-1]


def test_a_weight_that_has_it_all_and_a_missing_value_have_no_change():
    alone = swap_weights([[0.9, 0.1]], [[0.3, 0.8]], [1.0, 0.0])
    # the first cannot change, the second can take over: level where 0.6 (1 - w) = 0.7 w
    assert np.isnan(alone.equal_at[0, 0])
    assert alone.equal_at[0, 1] == pytest.approx(0.6 / 1.3)
    assert swap_weights([[0.9, np.nan]], [[0.3, 0.8]], [0.5, 0.5]).criterion.tolist() == [-1]


def test_the_wrong_way_round_is_refused():
    with pytest.raises(ValueError, match="must not score less"):
        swap_weights([[0.1, 0.1]], [[0.3, 0.8]], [0.5, 0.5])
    with pytest.raises(ValueError, match="do not go with"):
        swap_weights([[0.1, 0.1]], [[0.3, 0.8]], [1.0])


def scan(weights, criterion, grid):
    """Return a row of weights for each new weight of one criterion."""
    others = np.where(np.arange(len(weights)) == criterion, 0.0, weights)
    rows = (1 - grid)[:, None] * others / others.sum()
    rows[:, criterion] = grid
    return rows


@pytest.mark.parametrize("seed", range(4))
def test_swap_stands_where_a_scan_of_all_weights_finds_it(seed):
    generator = np.random.default_rng(seed)
    values, weights = generator.random((12, 4)), generator.dirichlet(np.ones(4))
    order = np.argsort(-weighted_sum(values, weights))
    above, below = values[order[:-1]], values[order[1:]]
    found = swap_weights(above, below, weights)
    grid = np.linspace(0, 1, 2001)
    for pair in range(len(above)):
        for criterion in range(4):
            passed = grid[scan(weights, criterion, grid) @ (above[pair] - below[pair]) < -1e-6]
            if not len(passed):
                assert np.isnan(found.equal_at[pair, criterion])
                continue
            nearest = passed[np.abs(passed - weights[criterion]).argmin()]
            # the grid's step, and up to half of one more
            assert found.equal_at[pair, criterion] == pytest.approx(nearest, abs=6e-4)
            again = weighted_sum(
                [above[pair], below[pair]],
                changed_weights(weights, criterion, found.checked_at[pair, criterion]),
            )
            assert rank_by_score(again, ["a", "b"]).tolist() == [2, 1]


@pytest.mark.parametrize("seed", range(4))
def test_cut_is_crossed_where_a_scan_of_all_weights_finds_it(seed):
    generator = np.random.default_rng(seed)
    values, weights = generator.random((15, 3)), generator.dirichlet(np.ones(3))
    ids, id_order = [f"s{i:02d}" for i in range(15)], np.arange(15)
    grid = np.linspace(0, 1, 2001)
    places = 4
    ranks = rank_by_score(weighted_sum(values, weights), ids)
    by_weight = {
        criterion: np.array([rank_by_score(values @ row, ids) for row in scan(weights, criterion, grid)])
        for criterion in range(3)
    }
    found_any = 0
    for site in range(15):
        found = weight_across_cut(values, weights, id_order, site, places)
        changes = []
        for criterion, table in by_weight.items():
            across = grid[(table[:, site] <= places) != (ranks[site] <= places)]
            changes += [abs(across - weights[criterion]).min()] if len(across) else []
        if not changes:
            # what the scan missed is narrower than its step
            assert found is None or _width(values, weights, found, ids, site, places) < 5e-4
            continue
        found_any += 1
        change = abs(found.equal_at - weights[found.criterion])
        assert change <= min(changes) + 1e-9
        assert change >= min(changes) - 5e-4 or _width(values, weights, found, ids, site, places) < 5e-4
        again = weighted_sum(values, changed_weights(weights, found.criterion, found.checked_at))
        assert (rank_by_score(again, ids)[site] <= places) != (ranks[site] <= places)
    assert found_any >= 8


def _width(values, weights, found, ids, site, places):
    """Return how far beyond the crossing the site stays across, looked at in steps of 0.00001."""
    side = np.sign(found.checked_at - found.equal_at)
    base = rank_by_score(weighted_sum(values, weights), ids)[site] <= places
    for step in range(1, 100):
        weight = found.checked_at + side * step * 1e-5
        if not 0 <= weight <= 1:
            return step * 1e-5
        ranks = rank_by_score(weighted_sum(values, changed_weights(weights, found.criterion, weight)), ids)
        if (ranks[site] <= places) == base:
            return step * 1e-5
    return 1.0


def test_equal_scores_are_decided_by_the_ids_before_and_after():
    # Both score 0.5 with equal weights; the id puts one of them above, and any change of a weight decides.
    values, weights = [[1.0, 0.0], [0.0, 1.0]], [0.5, 0.5]
    for site, id_order in ((1, [0, 1]), (0, [1, 0])):
        found = weight_across_cut(values, weights, id_order, site, places=1)
        assert (found.criterion, found.equal_at) == (0, 0.5)
        assert found.checked_at == pytest.approx(0.5, abs=1e-5)
    # alike in everything: nothing decides but the id
    assert weight_across_cut([[0.5, 0.5], [0.5, 0.5]], weights, [0, 1], 1, places=1) is None


def test_a_twin_below_by_its_id_stays_below():
    # The twins score 0.4 + 0.2 w and the third 1 - w in the first weight: level at 0.5.
    values = [[0.6, 0.4], [0.6, 0.4], [0.0, 1.0]]
    found = weight_across_cut(values, [0.8, 0.2], [0, 1, 2], site=0, places=1)
    assert found.criterion == 0
    assert found.equal_at == pytest.approx(0.5)


def test_several_that_cross_at_one_weight():
    # At 0.5 all four score the same; beyond it the third and fourth are above the first, the second is not.
    values = [[1.0, 0.0], [0.9, 0.1], [0.0, 1.0], [0.1, 0.9]]
    found = weight_across_cut(values, [0.7, 0.3], [0, 1, 2, 3], site=0, places=2)
    assert found.equal_at == pytest.approx(0.5)
    assert found.checked_at < 0.5


def test_no_weight_moves_what_is_below_everywhere():
    values = [[0.9, 0.8], [0.8, 0.9], [0.1, 0.1]]
    assert weight_across_cut(values, [0.5, 0.5], [0, 1, 2], site=2, places=2) is None
    assert weight_across_cut(values, [0.5, 0.5], [0, 1, 2], site=2, places=5) is None


def test_shapes_that_do_not_go_together_are_refused():
    with pytest.raises(ValueError, match="do not go with"):
        weight_across_cut([[0.5, 0.5]], [0.5, 0.5], [0, 1], 0, 1)
