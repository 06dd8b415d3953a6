"""Weights that the outcomes suggest, by a regularised logistic regression; never applied."""

import math
from collections.abc import Mapping
from importlib import import_module
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.backtest import WEIGHT_COLUMNS

FloatArray = NDArray[np.float64]

RARER_PER_CRITERION = 5
"""Releases of the rarer outcome that each criterion needs. Vittinghoff & McCulloch 2007, American Journal of
Epidemiology 165: 710-718 (from memory)."""
KNOWN_SHARE = 0.8
"""A criterion known for a smaller share of the releases is left out. Our choice."""
PENALTY_INVERSE = 1.0
"""Coefficients per standard deviation are held as if drawn around 0 with variance 1. Our choice."""
RESAMPLES, SEED = 200, 1
ERROR_SHARE = 0.025
"""In no more of the resamples, shared among the criteria (Bonferroni), a coefficient that is sure of its sign
has another. Our choice."""
NOT_SURE = "No weights are suggested: not one criterion is sure to have spoken for establishment."
INSTALL = "pip install scikit-learn"


def suggest_weights(
    agent: str,
    values: Mapping[str, FloatArray],
    established: NDArray[np.bool_],
    weights_now: Mapping[str, float],
) -> tuple[pd.DataFrame, str]:
    """Return the weights that the outcomes suggest, and in words how they were made or why there are none.

    Parameters
    ----------
    agent
        Name of the agent.
    values
        By criterion: (n,) value on its curve of each release, 0-1; nan missing.
    established
        (n,) whether each established; of releases whose visits would have told either outcome, since others
        are known the more often the more they established.
    weights_now
        The season's weights by criterion, summing to one [share].

    Returns
    -------
    pandas.DataFrame
        ``WEIGHT_COLUMNS``, one row per criterion that was fitted: ``weight_share`` is its coefficient per
        unit of value, 0 where negative, over the sum of them; the interval holds 95 of a hundred resamples
        of the releases; ``positive_share`` is in how many of them the coefficient is above 0.
    str
        A sentence.

    Notes
    -----
    Values are scaled to one standard deviation for the fit, with an L2 penalty, and back again. A negative
    coefficient means that high values went with failure: the curve may run the wrong way, or the criterion
    stands for something else. A weight is not suggested the other way round, and none where no coefficient is
    sure to be above 0. Criteria that are sure to have spoken against are named.
    """
    nothing = pd.DataFrame(columns=list(WEIGHT_COLUMNS))
    least = max(1.0, KNOWN_SHARE * len(established))
    fitted = {name: one for name, one in values.items() if (~np.isnan(one)).sum() >= least}
    table = np.column_stack([*fitted.values()]) if fitted else np.zeros((len(established), 0))
    complete = ~np.isnan(table).any(axis=1)
    table, outcome = table[complete], established[complete]
    varies = np.ptp(table, axis=0) > 0 if len(table) else np.zeros(table.shape[1], dtype=bool)
    names, table = [name for name, is_so in zip(fitted, varies, strict=True) if is_so], table[:, varies]
    rarer, asked = min(int(outcome.sum()), int((~outcome).sum())), RARER_PER_CRITERION * max(len(names), 1)
    if rarer < asked or not names:
        return nothing, _too_few(rarer, asked, len(names), len(established))
    try:
        regression = import_module("sklearn.linear_model").LogisticRegression
    except ImportError:
        return nothing, f"No weights are suggested: that needs scikit-learn. Install it with {INSTALL}"
    best = _coefficients(regression, table, outcome)
    drawn = _resampled(regression, table, outcome)
    positive = (drawn > 0).mean(axis=0)
    sure = 1 - ERROR_SHARE / len(names)
    against = _against([name for name, share in zip(names, positive, strict=True) if 1 - share >= sure])
    if not np.any(positive >= sure):
        return nothing, NOT_SURE + against
    shares, share = np.array([_as_weights(one) for one in drawn]), _as_weights(best)
    low, high = np.quantile(shares, [0.025, 0.975], axis=0)
    rows = pd.DataFrame(
        {
            "agent": agent,
            "criterion": names,
            "weight_now_share": [weights_now[name] for name in names],
            "weight_share": share,
            "weight_low_share": low,
            "weight_high_share": high,
            "positive_share": positive,
        }
    )
    left_out = [name for name in values if name not in names]
    return rows[list(WEIGHT_COLUMNS)], _how(len(outcome), left_out) + against


def _against(names: list[str]) -> str:
    if not names:
        return ""
    return f" Sure to have spoken against establishment: {', '.join(names)}; look at the curve."


def _too_few(rarer: int, asked: int, criteria: int, used: int) -> str:
    if not used:
        return "No weights are suggested: no release is used whose visits would have told either outcome."
    if not criteria:
        return "No weights are suggested: no criterion differs between the releases."
    return (
        f"No weights are suggested: where {criteria} criteria are known and the visits would have told "
        f"either outcome, the rarer was seen {rarer} times; {asked} are needed, {RARER_PER_CRITERION} for "
        "each criterion."
    )


def _how(count: int, left_out: list[str]) -> str:
    without = (
        f" Not fitted, missing too often or the same everywhere: {', '.join(left_out)}." if left_out else ""
    )
    return (
        f"A suggestion, never applied: logistic regression on {count} releases whose visits would have told "
        f"either outcome, L2 penalty; intervals from {RESAMPLES} resamples (seed {SEED}).{without}"
    )


def _coefficients(regression: Any, table: FloatArray, outcome: NDArray[np.bool_]) -> FloatArray:
    """Return the coefficient of each column per unit of it; 0 where it does not vary."""
    spread = table.std(axis=0)
    scale = np.where(spread > 0, spread, np.inf)
    model = regression(C=PENALTY_INVERSE, solver="newton-cholesky").fit(
        (table - table.mean(axis=0)) / scale, outcome
    )
    return np.asarray(model.coef_[0] / scale, dtype=np.float64)


def _resampled(regression: Any, table: FloatArray, outcome: NDArray[np.bool_]) -> FloatArray:
    """Return (resamples, criteria) coefficients; resamples with one outcome alone are drawn again."""
    lot = np.random.default_rng(SEED)
    drawn: list[FloatArray] = []
    while len(drawn) < RESAMPLES:
        rows = lot.integers(0, len(outcome), len(outcome))
        if 0 < outcome[rows].sum() < len(rows):
            drawn.append(_coefficients(regression, table[rows], outcome[rows]))
    return np.array(drawn)


def _as_weights(coefficients: FloatArray) -> FloatArray:
    """Return what is above 0 as shares of their sum; all 0 where nothing is."""
    above = np.maximum(coefficients, 0.0)
    total = math.fsum(above.tolist())
    return above / total if total > 0 else above
