"""The score as closeness to the best and distance from the worst of the sites at hand (TOPSIS)."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def ideal_closeness(values: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Return how close each site is to the ideal: distance from the worst / (that + distance from the best).

    Parameters
    ----------
    values
        One row per site, one column per criterion, higher is better, (n, k); none below 0 [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    numpy.ndarray
        Closeness, (n,). A site with a nan in a criterion that counts has nan and moves nobody else. Where all
        sites are alike the closeness is not defined; they get 0.5, our choice [0-1].

    Raises
    ------
    ValueError
        The shapes do not go together, a value is below 0, or a weight is.

    Notes
    -----
    Each column is divided by the root of its sum of squares and multiplied by its weight; the best and the
    worst are the largest and the smallest of each column over the sites given. So a site's closeness rests
    on who else is in the list: adding or leaving out a site, even a poor one, may turn the order of two
    others round. Only lists of the same sites are comparable. A better value never lowers a site's own
    closeness, but by moving the best and the sums it may raise another's more, and so cost a place.

    References
    ----------
    Hwang, C. L. & Yoon, K. 1981. Multiple Attribute Decision Making. Springer, chapter III. Worked example:
    Tzeng, G. H. & Huang, J. J. 2011. Multiple Attribute Decision Making. CRC Press.

    Examples
    --------
    >>> ideal_closeness([[0.0, 1.0], [1.0, 0.0], [1.0, 1.0]], [0.5, 0.5]).tolist()
    [0.5, 0.5, 1.0]
    """
    rows, shares = _checked(values, weights)
    is_known = ~np.isnan(rows).any(axis=1)
    closeness = np.full(len(rows), np.nan)
    known = rows[is_known]
    if len(known):
        # fsum, so that neither the order of the sites nor the processor changes the last digit
        squares = np.array([math.fsum((column**2).tolist()) for column in known.T])
        closeness[is_known] = _closeness(known, known.max(axis=0), known.min(axis=0), squares, shares)
    return closeness


def ideal_closeness_interval(
    low: ArrayLike, high: ArrayLike, weights: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return the lowest and highest closeness a site's own missing values allow, the others at their lowest.

    Parameters
    ----------
    low, high
        Lowest and highest possible values, (n, k); equal where a value is known [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    lowest, highest : numpy.ndarray
        (n,) each; `lowest` is `ideal_closeness` of `low`, by which sites are ordered. Equal for a site whose
        own values are all known; nan as for `ideal_closeness` [0-1].

    Raises
    ------
    ValueError
        As for `ideal_closeness`, or a `low` is above its `high`.

    Notes
    -----
    Closeness never falls when a site's own value rises and the others stay, so the two ends are exact for
    that. It may rise or fall when *another* site's value rises, because the best, the worst and the roots
    of the sums of squares move. What other sites' missing values could do is therefore not in this interval.

    References
    ----------
    As for `ideal_closeness`; the interval is our own reading of it.

    Examples
    --------
    >>> low, high = [[0.5, 0.0], [0.2, 1.0]], [[0.5, 1.0], [0.2, 1.0]]
    >>> lowest, highest = ideal_closeness_interval(low, high, [0.5, 0.5])
    >>> lowest.round(4).tolist(), highest.round(4).tolist()
    ([0.3578, 0.6422], [1.0, 0.6422])
    """
    lower, shares = _checked(low, weights)
    upper, _ = _checked(high, weights)
    if lower.shape != upper.shape or (lower > upper).any():
        message = "low and high values must have one shape, and no low may be above its high"
        raise ValueError(message)
    lowest = ideal_closeness(low, weights)
    highest = lowest.copy()
    is_known = ~(np.isnan(lower) | np.isnan(upper)).any(axis=1)
    highest[~is_known] = np.nan
    open_rows = np.flatnonzero(is_known & (lower < upper).any(axis=1))
    others = lower[~np.isnan(lower).any(axis=1)]
    if not len(open_rows):
        return lowest, highest
    own_low, own_high = lower[open_rows], upper[open_rows]
    squares = np.array([math.fsum((column**2).tolist()) for column in others.T])
    best = np.maximum(_best_of_others(others, own_low), own_high)
    worst = np.minimum(-_best_of_others(-others, -own_low), own_high)
    # A difference of sums of squares may end a hair below 0.
    own_squares = np.maximum(squares - own_low**2, 0.0) + own_high**2
    highest[open_rows] = _closeness(own_high, best, worst, own_squares, shares)
    return lowest, highest


def _best_of_others(rows: FloatArray, own: FloatArray) -> FloatArray:
    """Return the largest value of each column without one occurrence of a site's own."""
    if len(rows) == 1:
        return np.full(own.shape, -np.inf)
    second, largest = np.partition(rows, len(rows) - 2, axis=0)[-2:]
    return np.asarray(np.where(own == largest, second, largest), dtype=np.float64)


def _closeness(
    rows: FloatArray, best: FloatArray, worst: FloatArray, squares: FloatArray, shares: FloatArray
) -> FloatArray:
    """Return closeness; a column without any value above 0 says nothing of anybody."""
    factor = np.where(squares > 0, shares / np.sqrt(np.where(squares > 0, squares, 1.0)), 0.0)
    from_best, from_worst = np.zeros(len(rows)), np.zeros(len(rows))
    for column in range(rows.shape[1]):
        from_best += ((np.broadcast_to(best, rows.shape) - rows) * factor)[:, column] ** 2
        from_worst += ((rows - np.broadcast_to(worst, rows.shape)) * factor)[:, column] ** 2
    from_best, from_worst = np.sqrt(from_best), np.sqrt(from_worst)
    both = from_best + from_worst
    closeness = np.where(both > 0, from_worst / np.where(both > 0, both, 1.0), 0.5)
    return np.asarray(closeness, dtype=np.float64)


def _checked(values: ArrayLike, weights: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return values and weights of the criteria that count."""
    value_rows, weight_row = np.asarray(values, dtype=np.float64), np.asarray(weights, dtype=np.float64)
    if value_rows.ndim != 2 or value_rows.shape[1:] != weight_row.shape:
        message = f"values of shape {value_rows.shape} do not go with weights of shape {weight_row.shape}"
        raise ValueError(message)
    if (value_rows < 0).any() or (weight_row < 0).any():
        message = "closeness to the ideal needs values and weights of 0 or more"
        raise ValueError(message)
    counted = weight_row > 0
    return value_rows[:, counted], weight_row[counted]
