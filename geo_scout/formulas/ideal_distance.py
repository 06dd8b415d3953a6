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
        best, worst = known.max(axis=0), known.min(axis=0)
        closeness[is_known] = _closeness(known, best, worst, _squares(known), shares)
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
    lower, _ = _checked(low, weights)
    upper, _ = _checked(high, weights)
    if lower.shape != upper.shape or (lower > upper).any():
        message = "low and high values must have one shape, and no low may be above its high"
        raise ValueError(message)
    lowest = ideal_closeness(low, weights)
    is_open = (lower < upper).any(axis=1) | np.isnan(upper).any(axis=1)
    return lowest, np.where(is_open, ideal_closeness_changed(low, high, weights), lowest)


def ideal_closeness_changed(values: ArrayLike, changed: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Return the closeness each site would have if its own values changed and all others stayed.

    Parameters
    ----------
    values
        Values of the list as it is, (n, k) [0-1].
    changed
        What each site's own values would become, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    numpy.ndarray
        Closeness, (n,), one change at a time; nan where a value that counts is nan before or after [0-1].

    Raises
    ------
    ValueError
        As for `ideal_closeness`, or the two tables differ in shape.

    Examples
    --------
    >>> values, changed = [[0.5, 0.0], [0.2, 1.0]], [[0.5, 1.0], [0.2, 1.0]]
    >>> ideal_closeness_changed(values, changed, [0.5, 0.5]).round(4).tolist()
    [1.0, 0.6422]
    """
    before, shares = _checked(values, weights)
    after, _ = _checked(changed, weights)
    if before.shape != after.shape:
        message = f"values of shape {before.shape} do not go with changed ones of shape {after.shape}"
        raise ValueError(message)
    closeness = np.full(len(before), np.nan)
    is_known = ~(np.isnan(before) | np.isnan(after)).any(axis=1)
    others = before[~np.isnan(before).any(axis=1)]
    if not is_known.any():
        return closeness
    own_before, own_after = before[is_known], after[is_known]
    best = np.maximum(_best_of_others(others, own_before), own_after)
    worst = np.minimum(-_best_of_others(-others, -own_before), own_after)
    # A difference of sums of squares may end a hair below 0.
    squares = np.maximum(_squares(others) - own_before**2, 0.0) + own_after**2
    closeness[is_known] = _closeness(own_after, best, worst, squares, shares)
    return closeness


def ideal_closeness_of_newcomers(values: ArrayLike, newcomers: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Return the closeness each newcomer would have if it alone joined the list.

    Parameters
    ----------
    values
        Values of the list, (n, k) [0-1].
    newcomers
        Values of sites that are not in it, (m, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    numpy.ndarray
        Closeness, (m,); nan for a newcomer with a nan in a criterion that counts; 0.5 where the list is empty
        or all are alike [0-1].

    Raises
    ------
    ValueError
        As for `ideal_closeness`.

    Examples
    --------
    >>> ideal_closeness_of_newcomers([[0.0, 1.0], [1.0, 0.0]], [[1.0, 1.0]], [0.5, 0.5]).tolist()
    [1.0]
    """
    rows, shares = _checked(values, weights)
    joining, _ = _checked(newcomers, weights)
    others = rows[~np.isnan(rows).any(axis=1)]
    best = others.max(axis=0, initial=-np.inf)
    worst = others.min(axis=0, initial=np.inf)
    is_known = ~np.isnan(joining).any(axis=1)
    closeness = np.full(len(joining), np.nan)
    own = joining[is_known]
    squares = _squares(others) + own**2
    closeness[is_known] = _closeness(own, np.maximum(best, own), np.minimum(worst, own), squares, shares)
    return closeness


def _squares(rows: FloatArray) -> FloatArray:
    """Return the sum of squares of each column, the same whatever the order of the rows and the processor."""
    return np.array([math.fsum((column**2).tolist()) for column in rows.T])


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
