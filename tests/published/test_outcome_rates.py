"""The three rates against statsmodels, against the closed form, and against a grid and many drawn programmes."""

import numpy as np
import pytest
from scipy.stats import chi2
from statsmodels.stats.proportion import proportion_confint

from geo_scout.formulas.outcome_rates import adjusted_rate, found_rate, rate_bounds


@pytest.mark.parametrize(("found", "revisited"), [(0, 1), (1, 1), (0, 12), (7, 12), (19, 24), (400, 1000)])
def test_found_among_revisited_has_the_wilson_interval_of_statsmodels(found: int, revisited: int) -> None:
    share, low, high = found_rate(found, revisited)
    expected = proportion_confint(found, revisited, alpha=0.05, method="wilson")
    assert share == found / revisited
    # A bound that is 0 or 1 comes out a rounding away from it there.
    assert (low, high) == pytest.approx(expected, abs=1e-12)


def test_wilson_interval_by_hand() -> None:
    # 8 of 10, z = 1.959964: centre (0.8 + z2/20) / (1 + z2/10) = (0.8 + 0.192073) / 1.384146 = 0.716740;
    # half z / 1.384146 x sqrt(0.8 x 0.2 / 10 + z2 / 400) = 1.416010 x sqrt(0.016 + 0.0096036) = 0.226577.
    assert found_rate(8, 10) == pytest.approx((0.8, 0.490163, 0.943317), abs=2e-6)


@pytest.mark.parametrize(("found", "releases", "detection"), [(10, 20, 0.6), (3, 30, 0.4), (12, 15, 0.9)])
def test_adjusted_rate_with_one_chance_for_all_is_finds_over_releases_times_chance(
    found: int, releases: int, detection: float
) -> None:
    # psi d is an ordinary binomial share, so its best value is found / releases.
    present = [detection] * found + [1 - detection] * (releases - found)
    absent = [0.0] * found + [1.0] * (releases - found)
    assert adjusted_rate(present, absent)[0] == pytest.approx(found / releases / detection, abs=1e-9)


def test_more_finds_than_the_chance_allows_means_all_of_them() -> None:
    share, low, high = adjusted_rate([0.5] * 9 + [0.5], [0.0] * 9 + [1.0])
    assert (share, high) == (1.0, 1.0)
    # By hand: 10 ln(1) is the most; psi^9 (psi/2 + 1 - psi) 2 = exp(-1.92073) at the lower end.
    assert low**9 * (1 - low / 2) * 2 == pytest.approx(np.exp(-1.920729), rel=1e-6)


def test_interval_holds_the_shares_whose_likelihood_is_high_enough() -> None:
    random = np.random.default_rng(4)
    detection = random.uniform(0.1, 0.9, 40)
    wrong = random.uniform(0.0, 0.05, 40)
    is_found = random.random(40) < 0.6 * detection
    present = np.where(is_found, detection, 1 - detection)
    absent = np.where(is_found, wrong, 1 - wrong)
    share, low, high = adjusted_rate(present, absent)
    grid = np.linspace(0.0, 1.0, 100_001)[1:-1]
    log = np.log(grid[:, None] * present + (1 - grid[:, None]) * absent).sum(axis=1)
    inside = grid[log >= log.max() - chi2.ppf(0.95, 1) / 2]
    assert share == pytest.approx(grid[log.argmax()], abs=2e-5)
    assert (low, high) == pytest.approx((inside[0], inside[-1]), abs=2e-5)


def test_adjusted_rate_finds_the_truth_and_its_interval_covers_it_as_often_as_it_says() -> None:
    random = np.random.default_rng(12)
    truth, programmes, releases = 0.62, 600, 80
    best, covered, naive = [], 0, []
    for _ in range(programmes):
        is_there = random.random(releases) < truth
        detection = random.uniform(0.2, 0.8, (releases, 2))
        is_found = is_there[:, None] & (random.random((releases, 2)) < detection)
        present = np.where(is_found, detection, 1 - detection).prod(axis=1)
        absent = np.where(is_found, 0.0, 1.0).prod(axis=1)
        share, low, high = adjusted_rate(present, absent)
        best.append(share)
        naive.append(is_found.any(axis=1).mean())
        covered += low <= truth <= high
    # Four standard errors of a mean of 600, and of a count of 600 at 95 %.
    assert np.mean(best) == pytest.approx(truth, abs=4 * np.std(best) / np.sqrt(programmes))
    assert covered / programmes == pytest.approx(0.95, abs=4 * np.sqrt(0.95 * 0.05 / programmes))
    # Without the adjustment a third of what established is missed: 1 - (1 - 0.5)^2 is about what is seen.
    assert np.mean(naive) < truth - 0.1


def test_no_release_no_rate_and_visits_that_say_nothing_leave_all_open() -> None:
    assert np.isnan(found_rate(0, 0)).all()
    assert np.isnan(adjusted_rate([], [])).all()
    assert np.isnan(rate_bounds(0, 0, 0)).all()
    share, low, high = adjusted_rate([0.5, 0.5], [0.5, 0.5])
    assert np.isnan(share)
    assert (low, high) == (0.0, 1.0)


def test_what_neither_presence_nor_absence_explains_is_refused() -> None:
    with pytest.raises(ValueError, match="no chance"):
        adjusted_rate([0.5, 0.0], [0.5, 0.0])


def test_bounds_take_the_unvisited_as_failed_and_as_established() -> None:
    # 4 found of 6 revisited, 10 nobody visited: 4 / 16 and 14 / 16.
    assert rate_bounds(4, 6, 10) == (0.25, 0.875)
    assert rate_bounds(4, 6, 0) == (4 / 6, 4 / 6)
