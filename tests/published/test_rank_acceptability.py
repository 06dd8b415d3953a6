"""Rank acceptability against analytic cases, against a plain loop of sorting, and its stated error against repetition.

Lahdelma, R. & Salminen, P. 2001 (SMAA-2) define the indices. The analytic cases are integrals over the simplex: of
three unit vectors under free weights each is first with chance 1/3, and the mean of the largest of three weights is
11/18, of the other two 7/36 each. Monte-Carlo results are compared within four stated standard errors.
"""

import numpy as np
import pytest

from geo_scout.formulas.draw_error import draws_needed, standard_error
from geo_scout.formulas.rank_acceptability import (
    beats_next,
    central_weights,
    confidence,
    followed_intervals,
    leader_intervals,
    rank_shares,
    top_share,
)
from geo_scout.formulas.rank_draws import SORTED_WHOLE, rank_draws
from geo_scout.formulas.weight_draws import free_weights, weights_around


def test_three_unit_vectors():
    draws = draws_needed(0.0025)
    weights = free_weights(("a", "b", "c"), draws, 1)
    found = rank_draws(np.eye(3), weights)
    shares = rank_shares(found, [0, 1, 2])
    assert (abs(shares - 1 / 3) < 4 * standard_error(1 / 3, draws)).all()
    central = central_weights(found, weights, [0, 1, 2])
    # The mean of a weight over a third of the draws; its deviation there is below 0.17.
    within = 4 * 0.17 / np.sqrt(draws / 3)
    expected = np.where(np.eye(3) == 1, 11 / 18, 7 / 36)
    assert (abs(central - expected) < within).all()


def test_two_by_two():
    draws = draws_needed(0.0025)
    weights = free_weights(("a", "b"), draws, 2)
    found = rank_draws(np.eye(2), weights, followed=[0, 1])
    assert (abs(rank_shares(found, [0, 1]) - 0.5) < 4 * standard_error(0.5, draws)).all()
    # Where a is first its weight is uniform on 0.5-1: mean 0.75, deviation 0.5 / sqrt(12).
    within = 4 * 0.5 / np.sqrt(12) / np.sqrt(draws / 2)
    assert (abs(central_weights(found, weights, [0, 1]) - [[0.75, 0.25], [0.25, 0.75]]) < within).all()
    assert abs(beats_next(found)[0][0] - 0.5) < 4 * standard_error(0.5, draws)


def test_a_site_in_the_middle():
    """(0.6, 0.6) against (1, 0) and (0, 1): first while both weights are below 0.6, one draw in five."""
    draws = draws_needed(0.0025)
    found = rank_draws([[1, 0], [0.6, 0.6], [0, 1]], free_weights(("a", "b"), draws, 3))
    expected = [[0.4, 0.1, 0.5], [0.2, 0.8, 0.0], [0.4, 0.1, 0.5]]
    shares = rank_shares(found, [0, 1, 2])
    assert (abs(shares - expected) < 4 * standard_error(expected, draws)).all()


def plainly(values, weights, eligible, tie_order):
    """Return the order of the eligible sites, draw by draw: score, millionths, sort."""
    orders = []
    for draw, weight in enumerate(weights):
        score = np.zeros(values.shape[-2])
        for criterion, part in enumerate(weight):
            score += part * (values if values.ndim == 2 else values[draw])[:, criterion]
        millionths = np.floor(score * 1e6 + 0.5).astype(np.int64)
        order = np.lexsort((tie_order, -millionths))
        orders.append(order[eligible[draw][order]])
    return orders


def kinds_of_values(random, sites):
    """Yield values that are spread, rounded so that many are equal, crowded into few scores, and all alike."""
    yield random.random((sites, 4))
    yield random.integers(0, 3, (sites, 4)) / 2
    yield 0.5 + random.random((sites, 4)) * 2e-5
    yield np.full((sites, 4), 0.7)


@pytest.mark.parametrize("sites", [7, 300, SORTED_WHOLE + 900])
@pytest.mark.parametrize("by_draw", [False, True], ids=["fixed", "drawn"])
def test_a_loop_of_sorting_finds_exactly_the_same(sites, by_draw):
    random = np.random.default_rng(sites)
    draws, deepest = 12, 50
    for values in kinds_of_values(random, sites):
        weights = random.dirichlet(np.ones(4), draws)
        tie_order, followed = random.permutation(sites), random.choice(sites, 5, replace=False)
        eligible = np.ones((draws, sites), dtype=bool)
        if by_draw:
            eligible = random.random((draws, sites)) < 0.7
            eligible[3], eligible[4], eligible[4, followed[0]] = False, False, True
            values = np.clip(values + random.normal(0, 0.1, (draws, 1, 4)), 0, 1)
        found = rank_draws(
            (lambda first, last, drawn=values: drawn[first:last]) if by_draw else values,
            weights,
            deepest=deepest,
            followed=followed,
            eligible=(lambda first, last, drawn=eligible: drawn[first:last]) if by_draw else None,
            tie_order=tie_order,
        )
        orders = plainly(values, weights, eligible, tie_order)
        ranks = np.zeros((draws, sites), dtype=int)
        for draw, order in enumerate(orders):
            ranks[draw, order] = np.arange(1, len(order) + 1)
            leaders = found.leaders[draw]
            assert leaders[leaders >= 0].tolist() == order[:deepest].tolist()
        assert found.followed_rank.tolist() == ranks[:, followed].tolist()
        check_summaries(found, ranks, weights, min(deepest, sites))


def check_summaries(found, ranks, weights, deepest):
    """Redo every summary from the whole table of ranks, 0 where not eligible."""
    tops = [1, min(5, deepest), deepest]
    expected = np.column_stack([((ranks > 0) & (ranks <= top)).mean(axis=0) for top in tops])
    np.testing.assert_allclose(top_share(found, tops), expected, rtol=0, atol=1e-12)
    rows = np.flatnonzero(((ranks > 0) & (ranks <= deepest)).any(axis=0))
    spans = leader_intervals(found)
    assert spans.rows.tolist() == rows.tolist()
    for span, sites, last in ((spans, rows, deepest + 1), (followed_intervals(found), found.followed, 10**9)):
        for line, site in enumerate(sites):
            own = ranks[ranks[:, site] > 0, site]
            four = (span.least[line], span.low[line], span.high[line], span.greatest[line])
            if not len(own):
                assert four == (0, 0, 0, 0)
                continue
            quantiles = np.quantile(own, [0, 0.05, 0.95, 1], method="inverted_cdf")
            assert four == tuple(np.minimum(quantiles, last))
    shares = rank_shares(found, rows)
    for rank in (1, deepest):
        np.testing.assert_allclose(
            shares[:, rank - 1], (ranks[:, rows] == rank).mean(axis=0), rtol=0, atol=1e-12
        )
    for top in (1, min(5, deepest)):
        central = central_weights(found, weights, rows, top=top)
        for line, site in enumerate(rows):
            is_top = (ranks[:, site] > 0) & (ranks[:, site] <= top)
            if is_top.any():
                np.testing.assert_allclose(central[line], weights[is_top].mean(axis=0), rtol=0, atol=1e-12)
            else:
                assert np.isnan(central[line]).all()
    first, second = (
        np.where(r == 0, 10**9, r) for r in (found.followed_rank[:, :-1], found.followed_rank[:, 1:])
    )
    decided = (first < 10**9) | (second < 10**9)
    share, count = beats_next(found)
    assert count.tolist() == decided.sum(axis=0).tolist()
    np.testing.assert_allclose(share * count, (first < second).sum(axis=0), rtol=0, atol=1e-9)


def test_confidence_with_uncertain_values_is_a_normal_integral():
    """Two sites, one criterion each way, with an error of deviation 0.05 on the first value only.

    With its own weights (0.7, 0.3) the first has 0.7 (0.5 + e), the second 0.3 x 0.9 = 0.27 + 0.7 x 0.1 = 0.34: first
    while e > -0.0142857, that is with chance Phi(0.2857) = 0.61245.
    """
    draws = 20_000
    errors = np.random.default_rng(5).normal(0, 0.05, draws)

    def values(first, last):
        block = np.broadcast_to([[0.5, 0.0], [0.1, 0.9]], (last - first, 2, 2)).copy()
        block[:, 0, 0] += errors[first:last]
        return block

    sure = confidence(values, [[0.7, 0.3], [np.nan, np.nan]], [0, 1], draws)
    assert abs(sure[0] - 0.61245) < 4 * standard_error(0.61245, draws)
    assert np.isnan(sure[1])


def test_the_stated_error_is_true():
    """400 repetitions under other seeds: how often the truth lies within two stated errors.

    The truth is the chance of rank 1 in `test_a_site_in_the_middle`, 0.2 and 0.4. A binomial count of 500 draws lies
    within two of its errors 95.4 % of the time; of 400 repetitions 91.5 to 99 % is four errors around that.
    """
    draws, repeats = 500, 400
    values = np.array([[1, 0], [0.6, 0.6], [0, 1]])
    shares = np.array(
        [
            top_share(rank_draws(values, free_weights(("a", "b"), draws, seed)), [1])[:, 0]
            for seed in range(repeats)
        ]
    )
    truth = np.array([0.4, 0.2, 0.4])
    inside = (abs(shares - truth) <= 2 * standard_error(shares, draws)).mean(axis=0)
    assert ((inside > 0.915) & (inside < 0.99)).all()
    # And the errors are as large as said: the deviation of 400 shares is known to 3.5 %, so four times that.
    np.testing.assert_allclose(shares.std(axis=0), np.sqrt(truth * (1 - truth) / draws), rtol=0.14)


def test_draws_that_share_an_error_are_counted_as_shared():
    """An error that moves both sites alike decides nothing; drawn for each alone it decides much."""
    draws, random = 4_000, np.random.default_rng(3)
    weights = weights_around(("a", "b"), [0.5, 0.5], 50, draws, 1)
    base = np.array([[0.52, 0.52], [0.50, 0.50]])
    shared = base + random.normal(0, 0.05, (draws, 1, 1))
    alone = base + random.normal(0, 0.05, (draws, 2, 1))
    both = [
        rank_draws(lambda first, last, v=v: v[first:last], weights, followed=[0, 1]) for v in (shared, alone)
    ]
    sure, unsure = (beats_next(found)[0][0] for found in both)
    assert sure == 1
    # Phi(0.02 / (0.05 sqrt 2)) = 0.6114.
    assert abs(unsure - 0.6114) < 4 * standard_error(0.6114, draws)
