"""Which site is at least as good as another in everything, whatever the weights."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.intp]


def dominated_pairs(low: ArrayLike, high: ArrayLike) -> tuple[IndexArray, IndexArray]:
    """Return the pairs of sites of which one is surely at least as good in every criterion and better in one.

    Parameters
    ----------
    low, high
        Lowest and highest possible values, (m, k); equal where a value is known [0-1].

    Returns
    -------
    better, worse : numpy.ndarray
        Positions of the pairs, (p,) each, ordered by `better`, then `worse`.

    Raises
    ------
    ValueError
        The shapes differ.

    Notes
    -----
    Surely: the lowest value of the better one is not below the highest of the worse one, so what was not
    measured cannot change it. A site with a nan is in no pair. Whatever the weights, the better one scores at
    least as much by the weighted sum, the weighted product and the ordered average. Time grows with m
    squared, memory with m and the pairs found: hand over the top of the list, not all sites, and only the
    criteria that count.

    Examples
    --------
    >>> values = [[0.5, 0.5], [0.9, 0.1], [0.9, 0.5]]
    >>> better, worse = dominated_pairs(values, values)
    >>> list(zip(better.tolist(), worse.tolist()))
    [(2, 0), (2, 1)]
    """
    lower, upper = _same_shape(low, high)
    found = [_beaten_by(lower[site], upper) for site in range(len(lower))]
    better = np.repeat(np.arange(len(lower), dtype=np.intp), [len(beaten) for beaten in found])
    worse = np.concatenate(found) if found else np.empty(0, dtype=np.intp)
    return better, worse


def dominators(low: ArrayLike, high: ArrayLike, site: int) -> IndexArray:
    """Return the positions of the sites that surely dominate one site.

    Parameters
    ----------
    low, high
        Lowest and highest possible values of all sites, (n, k) [0-1].
    site
        Position of the site asked about.

    Returns
    -------
    numpy.ndarray
        Positions, (p,), rising; none where the site has a nan.

    Raises
    ------
    ValueError
        The shapes differ.

    Examples
    --------
    >>> values = [[0.5, 0.5], [0.9, 0.1], [0.9, 0.5]]
    >>> dominators(values, values, site=0).tolist()
    [2]
    """
    lower, upper = _same_shape(low, high)
    return _beaten_by(-upper[site], -lower)


def _beaten_by(lowest: FloatArray, highest_of_all: FloatArray) -> IndexArray:
    never_worse = (lowest >= highest_of_all).all(axis=1)
    return np.flatnonzero(never_worse & (lowest > highest_of_all).any(axis=1))


def _same_shape(low: ArrayLike, high: ArrayLike) -> tuple[FloatArray, FloatArray]:
    lower, upper = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    if lower.ndim != 2 or lower.shape != upper.shape:
        message = f"low values of shape {lower.shape} and high values of shape {upper.shape} must match"
        raise ValueError(message)
    return lower, upper
