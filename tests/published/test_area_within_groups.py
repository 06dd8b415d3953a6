"""Areas within groups and their intervals, against all pairs, exact laws and drawn cases."""

from itertools import product

import numpy as np
import pytest
from scipy.stats import mannwhitneyu
from sklearn.metrics import roc_auc_score

from geo_scout.formulas.area_intervals import area_interval, cases_needed, chance_interval
from geo_scout.formulas.area_within_groups import area_within_groups
from geo_scout.formulas.ranking_skill import area_under_curve


def drawn(seed, sizes=(12, 20, 9), shift=0.8):
    lot = np.random.default_rng(seed)
    group = np.repeat([f"g{n}" for n in range(len(sizes))], sizes)
    base = np.repeat(lot.normal(0, 2, len(sizes)), sizes)
    outcome = lot.uniform(size=len(group)) < 0.4
    score = np.round(base + shift * outcome + lot.normal(size=len(group)), 1)
    return score, outcome, group


@pytest.mark.parametrize("seed", range(5))
def test_it_is_every_pair_of_one_group(seed):
    score, outcome, group = drawn(seed)
    won = [
        (a > b) + 0.5 * (a == b)
        for (a, one, here), (b, other, there) in product(zip(score, outcome, group, strict=True), repeat=2)
        if one and not other and here == there
    ]
    assert area_within_groups(score, outcome, group).area == pytest.approx(np.mean(won), abs=1e-12)


def test_one_group_is_the_area_itself_and_scikit_learns():
    score, outcome, _ = drawn(3)
    whole, one = area_within_groups(score, outcome, np.full(len(score), "")), area_under_curve(score, outcome)
    assert whole.area == pytest.approx(roc_auc_score(outcome, score), abs=1e-12)
    assert (whole.low, whole.high, whole.standard_error) == pytest.approx(
        (one.low, one.high, one.standard_error), abs=1e-12
    )


def test_groups_with_one_outcome_have_no_pairs():
    found = area_within_groups([1.0, 2.0, 3.0], [True, True, False], ["a", "a", "b"])
    assert np.isnan(found.area)
    assert (found.successes, found.failures) == (0, 0)


def test_the_interval_holds_the_truth_about_nineteen_times_in_twenty():
    """Three groups that differ more than the cases in them; the true area is P(N(0.8, 2) > 0) = 0.714."""
    held = []
    for seed in range(400):
        found = area_within_groups(*drawn(seed, sizes=(25, 25, 25)))
        held.append(found.low <= 0.7142 <= found.high)
    # Binomial with 0.95 and 400: 0.92 to 0.98 are two and a half standard errors.
    assert 0.92 <= np.mean(held) <= 0.985


def test_a_surer_interval_is_wider():
    usual, sure = area_interval(0.7, 20, 20), area_interval(0.7, 20, 20, 0.99)
    assert sure[0] < usual[0] < 0.7 < usual[1] < sure[1]


@pytest.mark.parametrize(("successes", "failures"), [(4, 6), (8, 8), (5, 20)])
def test_drawing_by_lot_against_the_exact_law(successes, failures):
    """The exact law of Mann and Whitney's U by scipy; the normal law in its place is off by under a hundredth."""
    low, high = chance_interval(successes, failures)
    at = np.floor(high * successes * failures)
    some, none = np.arange(successes), np.arange(failures)
    # A sample whose U is the one asked about, to read the exact tail off.
    tail = mannwhitneyu(*_sample_with(int(at), some, none), alternative="greater", method="exact").pvalue
    assert tail == pytest.approx(0.025, abs=0.02)
    assert low + high == pytest.approx(1.0)


def _sample_with(u, some, none):
    """Return two samples with so many pairs won by the first."""
    full, rest = divmod(u, len(none))
    first = np.zeros(len(some))
    first[:full] = len(none) + 1 + np.arange(full)
    first[full:] = -1.0 - np.arange(len(some) - full)
    if rest:
        first[full] = rest - 0.5
    return first, none.astype(float)


def test_cases_needed_is_the_first_number_that_does():
    needed = cases_needed(0.3, 0.1)
    for cases, does in ((needed, True), (needed - 1, False)):
        some = round(0.3 * cases)
        low, high = area_interval(0.5, some, cases - some)
        assert ((high - low) / 2 <= 0.1) is does


@pytest.mark.parametrize(("share", "half"), [(0.0, 0.1), (1.0, 0.1), (0.5, 0.0)])
def test_what_asks_for_no_number_is_refused(share, half):
    with pytest.raises(ValueError, match="ask for no number of cases"):
        cases_needed(share, half)


def test_a_missing_group_is_refused():
    with pytest.raises(ValueError, match="groups of shape"):
        area_within_groups([1.0, 2.0], [True, False], ["a"])
