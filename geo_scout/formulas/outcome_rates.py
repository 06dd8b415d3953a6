"""What share of releases established, read from visits that see some of what is there."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import gammaincinv, ndtri

FloatArray = NDArray[np.float64]

CONFIDENCE = 0.95
NORMAL_LIMIT = float(ndtri((1 + CONFIDENCE) / 2))
HALF_CHI_SQUARED = float(gammaincinv(0.5, CONFIDENCE))
"""Half the point that chi-squared with one degree of freedom stays below with the confidence."""
NEXT_TO_ZERO = 1e-12


def found_rate(found: int, revisited: int) -> tuple[float, float, float]:
    """Return the share found among those revisited, with the Wilson interval of 95 %.

    Parameters
    ----------
    found, revisited
        Numbers of releases; `found` is at most `revisited`.

    Returns
    -------
    tuple of float
        Share, low, high; all nan where none was revisited [share].

    References
    ----------
    Wilson (1927), J. Am. Stat. Assoc. 22:209, the score interval.

    Examples
    --------
    >>> [round(share, 4) for share in found_rate(15, 20)]
    [0.75, 0.5313, 0.8881]
    """
    if revisited == 0:
        return np.nan, np.nan, np.nan
    square = NORMAL_LIMIT**2
    middle = (found + square / 2) / (revisited + square)
    spread = found * (revisited - found) / revisited + square / 4
    half = NORMAL_LIMIT * float(np.sqrt(spread)) / (revisited + square)
    return found / revisited, max(middle - half, 0.0), min(middle + half, 1.0)


def adjusted_rate(present: ArrayLike, absent: ArrayLike) -> tuple[float, float, float]:
    """Return the share established that makes the visits most likely, with its 95 % profile interval.

    Parameters
    ----------
    present, absent
        (n,) chance of all that the visits to one release reported, if it established and if it did not: a
        product of d or 1 - d, and of f or 1 - f, over its visits [share].

    Returns
    -------
    tuple of float
        Share, low, high; all nan without a release. Where the visits say nothing, the range is 0 to 1 and
        the share is nan [share].

    Raises
    ------
    ValueError
        What a release's visits reported can be neither with the agent nor without it.

    Notes
    -----
    The likelihood of the share psi is the product over releases of psi L(present) + (1 - psi) L(absent). Its
    logarithm is concave in psi, so there is one maximum. The interval holds every psi whose log-likelihood
    is within 1.92 (half the 95 % point of chi-squared with one degree of freedom) of it.

    References
    ----------
    MacKenzie et al. (2002), Ecology 83:2248, their equation 1 with known chances of detection.

    Examples
    --------
    Ten of twenty found, each by a visit that finds six in ten: 10 / (20 x 0.6).

    >>> share, low, high = adjusted_rate([0.6] * 10 + [0.4] * 10, [0.0] * 10 + [1.0] * 10)
    >>> round(share, 4), round(low, 4), round(high, 4)
    (0.8333, 0.485, 1.0)
    """
    there, not_there = np.broadcast_arrays(np.asarray(present, np.float64), np.asarray(absent, np.float64))
    if not there.size:
        return np.nan, np.nan, np.nan
    scale = np.maximum(there, not_there)
    if np.any(scale <= 0):
        message = "what was reported of a release has no chance, with the agent there or not"
        raise ValueError(message)
    there, not_there = there / scale, not_there / scale
    if np.array_equal(there, not_there):
        return np.nan, 0.0, 1.0
    best = _most_likely(there, not_there)
    least = _log_likelihood(best, there, not_there) - HALF_CHI_SQUARED

    def above(share: float) -> float:
        return _log_likelihood(share, there, not_there) - least

    low = 0.0 if above(NEXT_TO_ZERO) >= 0 else float(brentq(above, NEXT_TO_ZERO, best))
    high = 1.0 if above(1 - NEXT_TO_ZERO) >= 0 else float(brentq(above, best, 1 - NEXT_TO_ZERO))
    return best, low, high


def rate_bounds(found: int, revisited: int, unvisited: int) -> tuple[float, float]:
    """Return the share found with every unvisited release taken as failed, and taken as established.

    Parameters
    ----------
    found, revisited, unvisited
        Numbers of releases; the last two exclude each other.

    Returns
    -------
    tuple of float
        Least and most; both nan without a release [share].

    Examples
    --------
    >>> rate_bounds(15, 20, 30)
    (0.3, 0.9)
    """
    releases = revisited + unvisited
    if releases == 0:
        return np.nan, np.nan
    return found / releases, (found + unvisited) / releases


def _log_likelihood(share: float, there: FloatArray, not_there: FloatArray) -> float:
    """Return the logarithm of the likelihood; never minus infinity, so that a root can be looked for."""
    chance = share * there + (1 - share) * not_there
    return float(np.log(np.maximum(chance, NEXT_TO_ZERO)).sum())


def _most_likely(there: FloatArray, not_there: FloatArray) -> float:
    def slope(share: float) -> float:
        chance = share * there + (1 - share) * not_there
        return float(((there - not_there) / np.maximum(chance, NEXT_TO_ZERO)).sum())

    if slope(NEXT_TO_ZERO) <= 0:
        return 0.0
    if slope(1 - NEXT_TO_ZERO) >= 0:
        return 1.0
    return float(brentq(slope, NEXT_TO_ZERO, 1 - NEXT_TO_ZERO, xtol=1e-12))
