"""Supply against published limits of counts, another library, plain integration and arithmetic by hand."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm, poisson
from statsmodels.stats.rates import confint_poisson

from geo_scout.formulas.supply import aged_supply, chance_of_enough, count_interval, mean_if_enough

GARWOOD_95 = {
    0: (0.000, 3.689),
    1: (0.025, 5.572),
    2: (0.242, 7.225),
    3: (0.619, 8.767),
    5: (1.623, 11.668),
    10: (4.795, 18.390),
    20: (12.217, 30.888),
    50: (37.111, 65.919),
}
"""Exact 95 % limits of a Poisson count (Garwood 1936; printed in many tables, here from memory)."""


@pytest.mark.parametrize(("count", "limits"), GARWOOD_95.items())
def test_the_interval_of_a_count_is_garwoods(count, limits):
    # The table has three decimals.
    assert [float(one) for one in count_interval(count)] == pytest.approx(limits, abs=6e-4)


@pytest.mark.parametrize("count", [0, 1, 4, 17, 400])
@pytest.mark.parametrize("level_share", [0.8, 0.95, 0.99])
def test_the_interval_of_a_count_is_that_of_statsmodels(count, level_share):
    # Both ask the same chi-squared distribution; only rounding can differ.
    expected = confint_poisson(count, 1, method="exact-c", alpha=1 - level_share)
    assert count_interval(count, level_share) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("count", [1, 4, 17, 400])
def test_at_the_limits_a_count_so_far_off_has_the_chance_of_the_tail(count):
    low, high = count_interval(count)
    assert poisson.sf(count - 1, low) == pytest.approx(0.025, abs=1e-9)
    assert poisson.cdf(count, high) == pytest.approx(0.025, abs=1e-9)


def test_a_catch_is_aged_and_widened_as_by_hand():
    """40 an hour x 8 h = 320; two years at a halving time of 4: 320 / sqrt 2 = 226.27; 1.5^2 = 2.25.

    Low 226.27 / 2.25 = 100.57, high 226.27 x 2.25 = 509.12, cut at 400.
    """
    low, best, high = aged_supply([40.0, 0.0], 8.0, 2.0, 4.0, 1.5, 400.0)
    assert [low[0], best[0], high[0]] == pytest.approx([100.566, 226.274, 400.0], abs=1e-3)
    assert [low[1], best[1], high[1]] == [0.0, 0.0, 0.0]
    fresh = aged_supply(40.0, 8.0, 0.0, 4.0, 1.5, 300.0)
    assert [float(one) for one in fresh] == [300.0, 300.0, 300.0]


@pytest.mark.parametrize(("low", "high"), [(0.2, 3.0), (1.5, 4.0), (0.9, 1.1), (0.1, 0.6)])
@pytest.mark.parametrize("cap", [2.5, np.inf])
def test_chance_and_mean_of_enough_are_those_of_plain_integration(low, high, cap):
    """The density of the logarithm is integrated by quadrature; its tails beyond ten deviations are nothing."""
    middle = (np.log(low) + np.log(high)) / 2
    spread = (np.log(high) - np.log(low)) / (norm.ppf(0.9) - norm.ppf(0.1))

    def density(logarithm):
        return norm.pdf(logarithm, middle, spread)

    start, end = max(0.0, middle - 10 * spread), max(0.0, middle) + 10 * spread
    chance = quad(density, start, end, epsabs=1e-12)[0]
    kink = [np.log(cap)] if start < np.log(cap) < end else None
    taken = quad(lambda z: min(np.exp(z), cap) * density(z), start, end, points=kink, epsabs=1e-12)[0]
    assert chance_of_enough(low, high) == pytest.approx(chance, abs=1e-8)
    assert mean_if_enough(low, high, cap=cap) == pytest.approx(taken / chance, rel=1e-6)


def test_a_supply_without_a_range_is_enough_or_is_not():
    low = np.array([0.99, 1.0, 3.0, np.nan])
    assert chance_of_enough(low, low)[:3].tolist() == [0.0, 1.0, 1.0]
    assert mean_if_enough(low, low, cap=2.0)[:3].tolist() == [1.0, 1.0, 2.0]
    assert np.isnan(chance_of_enough(low, low)[3])
    assert np.isnan(mean_if_enough(low, low)[3])
