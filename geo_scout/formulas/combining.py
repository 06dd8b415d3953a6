"""Values and weights become points, a score and a rank."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

_SCORE_STEPS = 1_000_000


def normalise_weights(weights: ArrayLike) -> FloatArray:
    """Return the weights divided by their sum.

    Parameters
    ----------
    weights
        Weights of the criteria, (k,); none negative, at least one above 0 [any].

    Returns
    -------
    numpy.ndarray
        Weights that sum to 1, (k,) [share].

    Raises
    ------
    ValueError
        There is no weight, one is negative or not finite, or all are 0.

    Examples
    --------
    >>> normalise_weights([3, 1, 0]).tolist()
    [0.75, 0.25, 0.0]
    """
    array = np.asarray(weights, dtype=np.float64)
    if array.ndim != 1 or not len(array):
        message = "there are no weights to normalise"
        raise ValueError(message)
    wrong = ~(np.isfinite(array) & (array >= 0))
    if wrong.any():
        position = int(wrong.argmax())
        message = f"weight {position + 1} is {array[position]:g}; a weight must be a number of 0 or more"
        raise ValueError(message)
    largest = array.max()
    if largest == 0:
        message = "all weights are 0; at least one must be above 0"
        raise ValueError(message)
    # Dividing by the largest first keeps the sum of very large or very small weights finite.
    scaled = array / largest
    return np.asarray(scaled / scaled.sum(), dtype=np.float64)


def points(values: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Return what each criterion adds to the score, weight x value.

    Parameters
    ----------
    values
        One row per site, one column per criterion, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    numpy.ndarray
        Points, (n, k); nan where a value is nan, except that a criterion of weight 0 adds 0 [0-1].

    Examples
    --------
    >>> points([[1.0, 0.5], [0.0, np.nan]], [0.75, 0.25]).tolist()
    [[0.75, 0.125], [0.0, nan]]
    """
    value_rows, weight_row = np.asarray(values, dtype=np.float64), np.asarray(weights, dtype=np.float64)
    if value_rows.ndim != 2 or value_rows.shape[1:] != weight_row.shape:
        message = f"values of shape {value_rows.shape} do not go with weights of shape {weight_row.shape}"
        raise ValueError(message)
    return np.asarray(np.where(weight_row == 0, 0.0, value_rows * weight_row), dtype=np.float64)


def weighted_sum(values: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Return the score of each site, the sum of weight x value.

    Parameters
    ----------
    values
        One row per site, one column per criterion, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    numpy.ndarray
        Score, (n,); nan where a value that counts is nan [0-1].

    Notes
    -----
    The points are added from the first criterion to the last, not by a matrix product, whose last bits
    differ between processors.

    References
    ----------
    Malczewski, J. 1999. GIS and Multicriteria Decision Analysis. Wiley, chapter 6 (from memory).

    Examples
    --------
    >>> weighted_sum([[1.0, 0.5], [0.0, 1.0]], [0.75, 0.25]).tolist()
    [0.875, 0.25]
    """
    shares = points(values, weights)
    score = np.zeros(len(shares))
    for column in shares.T:
        score += column
    return score


def score_integer(score: ArrayLike) -> NDArray[np.int64]:
    """Return floor(score x 1e6 + 0.5), the whole number on which sites are ordered.

    Parameters
    ----------
    score
        Any shape [0-1].

    Returns
    -------
    numpy.ndarray
        Millionths, same shape [1e-6].

    Raises
    ------
    ValueError
        A score is not finite.

    Examples
    --------
    >>> score_integer([0.5, 0.1234567]).tolist()
    [500000, 123457]
    """
    array = np.asarray(score, dtype=np.float64)
    if not np.isfinite(array).all():
        message = "a score is not a finite number, so it has no place in the order"
        raise ValueError(message)
    return np.floor(array * _SCORE_STEPS + 0.5).astype(np.int64)


def rank_by_score(score: ArrayLike, site_ids: Sequence[str] | NDArray[np.generic]) -> NDArray[np.int64]:
    """Return the rank of each site from 1: higher score first, equal scores by site_id.

    Parameters
    ----------
    score
        Scores, (n,), compared as millionths [0-1].
    site_ids
        Stable names of the sites, (n,), all different; compared code point by code point.

    Returns
    -------
    numpy.ndarray
        Ranks 1 to n, (n,).

    Raises
    ------
    ValueError
        A score is not finite, a site_id occurs twice, or the lengths differ.

    Examples
    --------
    >>> rank_by_score([0.2, 0.9, 0.2], ["b", "c", "a"]).tolist()
    [3, 1, 2]
    """
    millionths = score_integer(score).tolist()
    names = [str(site_id) for site_id in site_ids]
    if len(names) != len(set(names)):
        message = f"site_id '{next(name for name in names if names.count(name) > 1)}' occurs twice"
        raise ValueError(message)
    keys = [(-whole, name) for whole, name in zip(millionths, names, strict=True)]
    ranks = np.empty(len(keys), dtype=np.int64)
    ranks[sorted(range(len(keys)), key=keys.__getitem__)] = np.arange(1, len(keys) + 1)
    return ranks
