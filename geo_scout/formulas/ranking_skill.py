"""How well a score or a chance told what came about: area under the curve, Brier score, calibration."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.area_intervals import area_interval
from geo_scout.formulas.outcome_rates import found_rate

FloatArray = NDArray[np.float64]
RowArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True)
class AreaUnderCurve:
    """How often a success scores higher than a failure.

    Parameters
    ----------
    area
        Share of all pairs of a success and a failure in which the success has the higher score, equal scores
        counted half; 0.5 is no better than chance, nan without a pair [share].
    standard_error
        By DeLong's placements; nan with fewer than two successes or failures, and 0 where all pairs are in
        order [share].
    low, high
        Interval of 95 %; nan without a pair [share].
    successes, failures
        How many of each.
    """

    area: float
    standard_error: float
    low: float
    high: float
    successes: int
    failures: int


@dataclass(frozen=True)
class BrierScore:
    """Mean squared error of chances, and its parts.

    Parameters
    ----------
    score
        Mean of (chance - outcome)^2; 0 is perfect, lower is better [share^2].
    reliability
        How far what came about in a group lies from its mean chance; lower is better [share^2].
    resolution
        How far the groups differ in what came about; higher is better [share^2].
    uncertainty
        Share that came about x share that did not: the score of who always says the overall share [share^2].
    within_groups
        What the spread of the chances inside groups adds, so that score = reliability - resolution +
        uncertainty + within_groups; 0 where each group has one chance [share^2].
    """

    score: float
    reliability: float
    resolution: float
    uncertainty: float
    within_groups: float


@dataclass(frozen=True)
class CalibrationTable:
    """What was said against what came about, in groups of rising chance.

    Parameters
    ----------
    count, came_about
        (g,) cases in each group, and in how many it came about.
    chance_share
        (g,) mean of what was said [share].
    observed_share, observed_low_share, observed_high_share
        (g,) share that came about, with the Wilson interval of 95 % [share].
    """

    count: RowArray
    came_about: RowArray
    chance_share: FloatArray
    observed_share: FloatArray
    observed_low_share: FloatArray
    observed_high_share: FloatArray


def area_under_curve(score: ArrayLike, came_about: ArrayLike) -> AreaUnderCurve:
    """Return how often a success scores higher than a failure, with its interval.

    Parameters
    ----------
    score
        (n,) score or chance told beforehand, higher for what should succeed; finite [any].
    came_about
        (n,) whether it succeeded.

    Returns
    -------
    AreaUnderCurve
        Equal scores count half, in the area and in both errors [share].

    Raises
    ------
    ValueError
        The lengths differ or a score is missing.

    Notes
    -----
    The standard error is DeLong's. The interval is made of those areas from which the one seen is no further
    than 1.96 of *their* standard errors, so it stays inside 0-1 and does not shrink to nothing where a few
    successes all score above a few failures, as estimate +- 1.96 errors would. On drawn normal scores (6 to
    40 successes, 9 to 80 failures, areas of 0.5 to 0.95) it held the truth 95 to 98 times in a hundred;
    estimate +- 1.96 of DeLong's errors held it 67 to 95 times.
    It is about independent cases: releases close together tell less than their number says.

    References
    ----------
    DeLong, E. R. et al. 1988. Biometrics 44: 837-845. Hanley, J. A. & McNeil, B. J. 1982. Radiology 143:
    29-36, the variance from the area alone. Newcombe, R. G. 2006. Statistics in Medicine 25: 559-573, method
    5: that variance with (m + n) / 2 - 1 in place of m - 1 and n - 1, solved as a score interval (all from
    memory).

    Examples
    --------
    Of four pairs three are in order:

    >>> area_under_curve([0.9, 0.4, 0.6, 0.1], [True, True, False, False]).area
    0.75
    """
    scores, outcome = _paired(score, came_about)
    successes, failures = int(outcome.sum()), int((~outcome).sum())
    if not successes or not failures:
        return AreaUnderCurve(np.nan, np.nan, np.nan, np.nan, successes, failures)
    # Mid-ranks among all less those among one's own kind count the others below, equals half.
    among_all = _mid_ranks(scores)
    beaten = (among_all[outcome] - _mid_ranks(scores[outcome])) / failures
    beating = 1 - (among_all[~outcome] - _mid_ranks(scores[~outcome])) / successes
    area = float(beaten.mean())
    error = np.nan
    if min(successes, failures) > 1:
        error = float(np.sqrt(beaten.var(ddof=1) / successes + beating.var(ddof=1) / failures))
    low, high = area_interval(area, successes, failures)
    return AreaUnderCurve(area, error, low, high, successes, failures)


def brier_score(chance_share: ArrayLike, came_about: ArrayLike, groups: int | None = None) -> BrierScore:
    """Return the mean squared error of chances, and what it is made of.

    Parameters
    ----------
    chance_share
        (n,) chance told beforehand [share].
    came_about
        (n,) whether it came about.
    groups
        How many groups of equal size, as in `calibration_table`; one group for each different chance without
        it.

    Returns
    -------
    BrierScore
        All nan without a case [share^2].

    Raises
    ------
    ValueError
        The lengths differ, or a chance is missing or outside 0-1.

    References
    ----------
    Brier, G. W. 1950. Monthly Weather Review 78: 1-3. Murphy, A. H. 1973. Journal of Applied Meteorology 12:
    595-600. Stephenson, D. B. et al. 2008. Weather and Forecasting 23: 752-757, the parts within groups (all
    from memory).

    Examples
    --------
    Two of four come about where one half was said, both where all was said: 4 x 0.25 / 6.

    >>> found = brier_score([0.5] * 4 + [1.0] * 2, [1, 1, 0, 0, 1, 1])
    >>> round(found.score, 4), round(found.reliability, 4), round(found.resolution, 4)
    (0.1667, 0.0, 0.0556)
    """
    chance, outcome = _chances(chance_share, came_about)
    if not len(chance):
        return BrierScore(np.nan, np.nan, np.nan, np.nan, np.nan)
    group = np.unique(chance, return_inverse=True)[1] if groups is None else _groups(chance, groups)
    count = np.bincount(group)
    said = np.bincount(group, chance) / count
    seen = np.bincount(group, outcome) / count
    weight, overall = count / len(chance), float(outcome.mean())
    apart = chance - said[group]
    return BrierScore(
        score=float(np.mean((chance - outcome) ** 2)),
        reliability=float((weight * (said - seen) ** 2).sum()),
        resolution=float((weight * (seen - overall) ** 2).sum()),
        uncertainty=overall * (1 - overall),
        within_groups=float(np.mean(apart**2 - 2 * apart * (outcome - seen[group]))),
    )


def calibration_table(chance_share: ArrayLike, came_about: ArrayLike, groups: int = 10) -> CalibrationTable:
    """Return what was said against what came about, in groups of rising chance.

    Parameters
    ----------
    chance_share
        (n,) chance told beforehand [share].
    came_about
        (n,) whether it came about.
    groups
        How many groups of equal size at most; equal chances stay together, so there may be fewer.

    Returns
    -------
    CalibrationTable
        One line for each group that holds a case [share].

    Raises
    ------
    ValueError
        The lengths differ, a chance is missing or outside 0-1, or ``groups`` is below 1.

    Examples
    --------
    >>> table = calibration_table([0.1, 0.2, 0.8, 0.9], [False, False, True, False], groups=2)
    >>> table.chance_share.round(2).tolist(), table.observed_share.tolist()
    ([0.15, 0.85], [0.0, 0.5])
    """
    chance, outcome = _chances(chance_share, came_about)
    group = _groups(chance, groups)
    count = np.bincount(group)
    came = np.bincount(group, outcome).astype(np.int64)
    rates = [found_rate(int(some), int(all_)) for some, all_ in zip(came, count, strict=True)]
    share, low, high = np.array(rates, dtype=np.float64).reshape(-1, 3).T
    return CalibrationTable(count, came, np.bincount(group, chance) / count, share, low, high)


def _mid_ranks(values: FloatArray) -> FloatArray:
    """Return ranks from 1, equal values at the middle of theirs."""
    _, place, count = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    return np.asarray(((2 * last - count + 1) / 2)[place], dtype=np.float64)


def _groups(chance: FloatArray, groups: int) -> RowArray:
    """Return the number of each case's group, from 0 without gaps."""
    if groups < 1:
        message = f"{groups} groups were asked for; at least 1 is needed"
        raise ValueError(message)
    if not len(chance):
        return np.zeros(0, dtype=np.int64)
    limits = np.quantile(chance, np.arange(1, groups) / groups)
    return np.unique(np.searchsorted(limits, chance), return_inverse=True)[1]


def _paired(score: ArrayLike, came_about: ArrayLike) -> tuple[FloatArray, BoolArray]:
    scores, outcome = np.asarray(score, dtype=np.float64), np.asarray(came_about, dtype=bool)
    if scores.ndim != 1 or scores.shape != outcome.shape:
        message = f"scores of shape {scores.shape} do not go with outcomes of shape {outcome.shape}"
        raise ValueError(message)
    if not np.isfinite(scores).all():
        message = "a score is missing; leave the case out, and count it"
        raise ValueError(message)
    return scores, outcome


def _chances(chance_share: ArrayLike, came_about: ArrayLike) -> tuple[FloatArray, BoolArray]:
    chance, outcome = _paired(chance_share, came_about)
    if ((chance < 0) | (chance > 1)).any():
        message = "a chance lies outside 0-1"
        raise ValueError(message)
    return chance, outcome
