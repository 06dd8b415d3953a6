"""Area under the curve, Brier score and calibration against scikit-learn, pairs counted one by one, and repetition.

The same sums in another order: agreement to 1e-12. The finds are those of a tree sloth in the package elapid: 116
presences and 1,000 background places with climates in whole numbers, so that many scores are equal.
"""

import gzip

import numpy as np
import pandas as pd
import pytest
from scipy.stats import norm
from sklearn.calibration import calibration_curve
from sklearn.linear_model import LogisticRegression
from sklearn.metrics import brier_score_loss, roc_auc_score
from sklearn.preprocessing import StandardScaler

from geo_scout.formulas.ranking_skill import area_under_curve, brier_score, calibration_table
from tests.reading_seasons import packaged


@pytest.fixture(scope="module")
def sloths():
    """Return the climates, whether the sloth was found, and a chance of it from all climates."""
    with gzip.open(packaged("elapid", "elapid/data/bradypus.csv.gz", "d2a11c2663b50ba5")) as file:
        table = pd.read_csv(file)
    climate = table.drop(columns=["presence", "ecoreg"])
    is_find = table["presence"].to_numpy() == 1
    scaled = StandardScaler().fit_transform(climate.to_numpy(dtype=float))
    chance = LogisticRegression(max_iter=2_000).fit(scaled, is_find).predict_proba(scaled)[:, 1]
    return climate, is_find, chance


def drawn_cases(random):
    """Yield scores and outcomes: different scores, and scores of which many are equal."""
    for count in (5, 40, 300):
        outcome = random.random(count) < 0.4
        outcome[:4] = [True, False, True, False]
        yield random.random(count), outcome
        yield np.round(random.random(count) * 0.6 + 0.3 * outcome, 1), outcome


def test_the_area_on_real_finds(sloths):
    climate, is_find, chance = sloths
    for name, column in climate.items():
        assert column.duplicated().any(), name
        area = area_under_curve(column, is_find).area
        assert area == pytest.approx(roc_auc_score(is_find, column), abs=1e-12)
    assert area_under_curve(chance, is_find).area == pytest.approx(roc_auc_score(is_find, chance), abs=1e-12)


def test_the_area_of_drawn_cases_with_ties():
    for score, outcome in drawn_cases(np.random.default_rng(1)):
        assert area_under_curve(score, outcome).area == pytest.approx(
            roc_auc_score(outcome, score), abs=1e-12
        )


def test_delongs_error_from_the_whole_table_of_pairs(sloths):
    """DeLong et al. 1988: variances of the row and column means of psi = 1, 1/2 or 0 over all pairs."""
    climate, is_find, _ = sloths
    cases = [*drawn_cases(np.random.default_rng(2)), (climate.iloc[:, 3].to_numpy(dtype=float), is_find)]
    for score, outcome in cases:
        above, below = score[outcome][:, None], score[~outcome][None, :]
        psi = (above > below) + 0.5 * (above == below)
        variance = psi.mean(axis=1).var(ddof=1) / psi.shape[0] + psi.mean(axis=0).var(ddof=1) / psi.shape[1]
        assert area_under_curve(score, outcome).standard_error == pytest.approx(np.sqrt(variance), abs=1e-12)


def test_delongs_error_against_resampling(sloths):
    """1,000 resamples of finds and background know a deviation to 2.2 %; DeLong's and the bootstrap's differ by O(1/n)."""
    climate, is_find, _ = sloths
    score, random = climate.iloc[:, 3].to_numpy(dtype=float), np.random.default_rng(4)
    finds, others = score[is_find], score[~is_find]
    areas = [
        area_under_curve(
            np.r_[random.choice(finds, len(finds)), random.choice(others, len(others))],
            np.sort(is_find)[::-1],
        ).area
        for _ in range(1_000)
    ]
    assert area_under_curve(score, is_find).standard_error == pytest.approx(np.std(areas), rel=0.08)


def test_the_interval_holds_the_areas_that_are_not_too_far():
    """Newcombe 2006, method 5, by trying areas on a fine grid with Hanley & McNeil's variance as they print it."""
    true = np.linspace(0, 1, 200_001)
    for score, outcome in drawn_cases(np.random.default_rng(3)):
        found = area_under_curve(score, outcome)
        successes, failures = found.successes, found.failures
        q1, q2 = true / (2 - true), 2 * true**2 / (1 + true)
        middle = (successes + failures) / 2 - 1
        variance = (true * (1 - true) + middle * (q1 - true**2) + middle * (q2 - true**2)) / (
            successes * failures
        )
        inside = true[(found.area - true) ** 2 <= norm.ppf(0.975) ** 2 * np.maximum(variance, 0)]
        # The grid's step is 5e-6.
        assert (found.low, found.high) == pytest.approx((inside.min(), inside.max()), abs=1.1e-5)


@pytest.mark.parametrize(("successes", "failures"), [(6, 9), (15, 15), (40, 80)])
@pytest.mark.parametrize("area", [0.5, 0.75, 0.95])
def test_the_interval_holds_the_truth_nineteen_times_in_twenty(successes, failures, area):
    """Normal scores whose means are sqrt 2 Phi^-1(area) apart, 600 times: 95 % less 3.6 % is four errors.

    The method is said to err on the safe side with few cases, so only the lower end is that narrow; an interval
    of a hundred per cent would be no interval.
    """
    random = np.random.default_rng(int(1_000 * area) + successes)
    outcome = np.r_[np.ones(successes, dtype=bool), np.zeros(failures, dtype=bool)]
    apart = np.sqrt(2) * norm.ppf(area)
    repeats, held = 600, 0
    for _ in range(repeats):
        found = area_under_curve(random.normal(apart * outcome, 1), outcome)
        held += found.low <= area <= found.high
    assert 0.914 < held / repeats < 0.997


def test_the_brier_score_on_real_finds_and_drawn_cases(sloths):
    _, is_find, chance = sloths
    for said, outcome in [(chance, is_find), *drawn_cases(np.random.default_rng(5))]:
        assert brier_score(said, outcome).score == pytest.approx(brier_score_loss(outcome, said), abs=1e-12)


def test_the_parts_add_up_to_the_brier_score(sloths):
    """Murphy 1973 where each group has one chance; with the parts inside groups (Stephenson 2008) for any groups."""
    _, is_find, chance = sloths
    rounded = np.round(chance, 1)
    whole = brier_score(rounded, is_find)
    assert whole.within_groups == pytest.approx(0, abs=1e-15)
    assert whole.reliability - whole.resolution + whole.uncertainty == pytest.approx(whole.score, abs=1e-12)
    for groups in (1, 2, 10):
        found = brier_score(chance, is_find, groups)
        parts = found.reliability - found.resolution + found.uncertainty + found.within_groups
        assert parts == pytest.approx(brier_score_loss(is_find, chance), abs=1e-12)
        assert abs(found.within_groups) > 1e-6


def test_murphys_parts_group_by_group(sloths):
    _, is_find, chance = sloths
    frame = pd.DataFrame({"said": np.round(chance, 1), "came": is_find})
    groups = frame.groupby("said")["came"].agg(["size", "mean"])
    weight, base = groups["size"] / len(frame), frame["came"].mean()
    found = brier_score(frame["said"], is_find)
    assert found.reliability == pytest.approx(
        (weight * (groups.index - groups["mean"]) ** 2).sum(), abs=1e-12
    )
    assert found.resolution == pytest.approx((weight * (groups["mean"] - base) ** 2).sum(), abs=1e-12)


def test_calibration_on_real_finds(sloths):
    _, is_find, chance = sloths
    for groups in (5, 10):
        table = calibration_table(chance, is_find, groups)
        observed, said = calibration_curve(is_find, chance, n_bins=groups, strategy="quantile")
        np.testing.assert_allclose(table.observed_share, observed, rtol=0, atol=1e-12)
        np.testing.assert_allclose(table.chance_share, said, rtol=0, atol=1e-12)
        assert table.count.sum() == len(is_find)
        assert table.came_about.sum() == is_find.sum()
