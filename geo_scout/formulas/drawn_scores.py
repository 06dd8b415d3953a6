"""Scores of many draws at once, each with values and weights of its own."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


def weighted_products(tables: FloatArray, weights: FloatArray) -> FloatArray:
    """Return the `weighted_product` of every site in every draw.

    Parameters
    ----------
    tables
        Values, (d, n, k), or (1, n, k) where all draws have the same [0-1].
    weights
        Weights of each draw, (d, k), rows sum to 1 [share].

    Returns
    -------
    numpy.ndarray
        Scores, (d, n) [0-1].

    Examples
    --------
    >>> weighted_products(np.array([[[1.0, 0.25]]]), np.array([[0.5, 0.5], [1.0, 0.0]])).tolist()
    [[0.5], [1.0]]
    """
    score = np.ones((len(weights), tables.shape[1]))
    for column in range(weights.shape[1]):
        # 0 ** 0 is 1: a criterion of weight 0 does nothing.
        score *= tables[:, :, column] ** weights[:, column, np.newaxis]
    return score


def ordered_averages(tables: FloatArray, weights: FloatArray, alpha: float) -> FloatArray:
    """Return the `ordered_weighted_average` of every site in every draw.

    Parameters
    ----------
    tables, weights
        As in `weighted_products`.
    alpha
        Attitude, above 0 [1].

    Returns
    -------
    numpy.ndarray
        Scores, (d, n) [0-1].

    Examples
    --------
    >>> tables, weights = np.array([[[0.2, 1.0]]]), np.array([[0.5, 0.5], [0.75, 0.25]])
    >>> ordered_averages(tables, weights, 2.0).round(4).tolist()
    [[0.4], [0.25]]
    """
    order = np.argsort(-tables, axis=2, kind="stable")
    ordered = np.take_along_axis(tables, order, axis=2)
    draws, sites = len(weights), tables.shape[1]
    shares = np.take_along_axis(
        np.broadcast_to(weights[:, np.newaxis], (draws, sites, weights.shape[1])),
        np.broadcast_to(order, (draws, *order.shape[1:])),
        axis=2,
    )
    reached = np.cumsum(shares, axis=2)
    reached = np.minimum(reached / reached[:, :, -1:], 1.0) ** alpha
    counts = np.diff(reached, axis=2, prepend=0.0)
    return np.asarray((counts * ordered).sum(axis=2), dtype=np.float64)


def extreme_values(tables: FloatArray, weights: FloatArray, *, is_best: bool) -> FloatArray:
    """Return the best or the worst value that counts of every site in every draw, (d, n).

    Parameters
    ----------
    tables, weights
        As in `weighted_products`.
    is_best
        The best, otherwise the worst.

    Examples
    --------
    >>> tables = np.array([[[0.2, 1.0]]])
    >>> extreme_values(tables, np.array([[0.5, 0.5], [1.0, 0.0]]), is_best=True).tolist()
    [[1.0], [0.2]]
    """
    counted = (weights > 0)[:, np.newaxis]
    if is_best:
        return np.asarray(np.where(counted, tables, -np.inf).max(axis=2), dtype=np.float64)
    return np.asarray(np.where(counted, tables, np.inf).min(axis=2), dtype=np.float64)


def ideal_closenesses(
    tables: FloatArray, weights: FloatArray, usable: NDArray[np.bool_] | None, beside: FloatArray
) -> FloatArray:
    """Return the `ideal_closeness` of every site in every draw, each draw with an ideal of its own.

    Parameters
    ----------
    tables, weights
        As in `weighted_products`.
    usable
        (d, n) the sites of each draw that the ideal is taken from; all without it.
    beside
        Values of further sites that it is taken from in every draw, (m, k) [0-1].

    Returns
    -------
    numpy.ndarray
        Closeness, (d, n); of no meaning for sites that are not usable [0-1].

    Notes
    -----
    Sums of squares are NumPy's, which may differ in the last bits from the exact ones of `ideal_closeness`.

    Examples
    --------
    >>> table = np.array([[[0.0, 1.0], [1.0, 0.0], [1.0, 1.0]]])
    >>> ideal_closenesses(table, np.array([[0.5, 0.5]]), None, np.empty((0, 2))).round(6).tolist()
    [[0.5, 0.5, 1.0]]
    """
    among = True if usable is None else usable
    from_best, from_worst = (
        np.zeros((len(weights), tables.shape[1])),
        np.zeros((len(weights), tables.shape[1])),
    )
    for column in range(weights.shape[1]):
        values, others = tables[:, :, column], beside[:, column]
        best = np.where(among, values, -np.inf).max(axis=1, initial=others.max(initial=-np.inf))
        worst = np.where(among, values, np.inf).min(axis=1, initial=others.min(initial=np.inf))
        squares = np.where(among, values**2, 0.0).sum(axis=1) + (others**2).sum()
        root = np.sqrt(np.where(squares > 0, squares, 1.0))
        factor = np.where(squares > 0, weights[:, column] / root, 0.0)[:, np.newaxis]
        with np.errstate(invalid="ignore"):
            from_best += ((best[:, np.newaxis] - values) * factor) ** 2
            from_worst += ((values - worst[:, np.newaxis]) * factor) ** 2
    from_best, from_worst = np.sqrt(from_best), np.sqrt(from_worst)
    both = from_best + from_worst
    return np.where(both > 0, from_worst / np.where(both > 0, both, 1.0), 0.5)
