"""A score turned into a chance, by what came about at such scores."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit, log_expit

FloatArray = NDArray[np.float64]

_MOST_STEPS, _LONGEST_STEP, _SETTLED = 200, 2.0, 1e-10


@dataclass(frozen=True)
class ChanceCurve:
    """Chance = 1 / (1 + exp(-(intercept + slope x score))).

    Parameters
    ----------
    intercept, slope
        Of the logarithm of the odds [1, 1 / unit of the score].
    """

    intercept: float
    slope: float

    def chance(self, score: ArrayLike) -> FloatArray:
        """Return the chance of each score [share]."""
        return np.asarray(expit(self.intercept + self.slope * np.asarray(score, dtype=np.float64)))


def fit_chance(score: ArrayLike, came_about: ArrayLike) -> ChanceCurve:
    """Return the logistic curve that past cases make most likely, under Jeffreys' prior.

    Parameters
    ----------
    score
        (n,) scores of past cases; finite [any].
    came_about
        (n,) whether each came about.

    Returns
    -------
    ChanceCurve
        Finite always, also where a score parts successes and failures wholly. Where all scores are equal or
        all came out the same, it is flat at (successes + 0.5) / (n + 1).

    Raises
    ------
    ValueError
        The lengths differ, no case is given, or a score is missing.

    References
    ----------
    Firth, D. 1993. Biometrika 80: 27-38. Heinze, G. & Schemper, M. 2002. Statistics in Medicine 21:
    2409-2419 (both from memory).

    Examples
    --------
    For a score of 0 and 1 it is the table with half a case more in each cell: the odds are 1.5 / 3.5 and
    4.5 / 0.5.

    >>> curve = fit_chance([0, 0, 0, 0, 1, 1, 1, 1], [1, 0, 0, 0, 1, 1, 1, 1])
    >>> curve.chance([0.0, 1.0]).round(4).tolist()
    [0.3, 0.9]
    """
    scores, outcome = np.asarray(score, dtype=np.float64), np.asarray(came_about, dtype=np.float64)
    if scores.ndim != 1 or scores.shape != outcome.shape or not len(scores) or not np.isfinite(scores).all():
        message = "a curve needs one known score for each outcome, and at least one of them"
        raise ValueError(message)
    middle, spread = float(scores.mean()), float(scores.std())
    if spread <= 1e-12 * max(1.0, abs(middle)) or outcome.min() == outcome.max():
        share = (outcome.sum() + 0.5) / (len(outcome) + 1)
        return ChanceCurve(float(np.log(share / (1 - share))), 0.0)
    design = np.column_stack([np.ones(len(scores)), (scores - middle) / spread])
    found = _climb(design, outcome)
    slope = float(found[1]) / spread
    return ChanceCurve(float(found[0]) - slope * middle, slope)


def _climb(design: FloatArray, outcome: FloatArray) -> FloatArray:
    """Return the highest point of the penalised likelihood, by Newton steps halved until they climb."""
    at = np.zeros(design.shape[1])
    height = _height(at, design, outcome)
    for _ in range(_MOST_STEPS):
        chance = expit(design @ at)
        weighted = design * (chance * (1 - chance))[:, np.newaxis]
        inverse = np.linalg.inv(design.T @ weighted)
        leverage = ((weighted @ inverse) * design).sum(axis=1)
        step = inverse @ (design.T @ (outcome - chance + leverage * (0.5 - chance)))
        step *= min(1.0, _LONGEST_STEP / max(float(np.abs(step).max()), 1e-300))
        while np.abs(step).max() > _SETTLED:
            higher = _height(at + step, design, outcome)
            if higher >= height:
                break
            step = step / 2
        else:
            return at
        at, height = at + step, higher
    return at


def _height(at: FloatArray, design: FloatArray, outcome: FloatArray) -> float:
    line = design @ at
    chance = expit(line)
    information = design.T @ (design * (chance * (1 - chance))[:, np.newaxis])
    likelihood = float((outcome * log_expit(line) + (1 - outcome) * log_expit(-line)).sum())
    return likelihood + 0.5 * float(np.linalg.slogdet(information)[1])
