"""The score as a product: each value raised to its weight, so that one value of 0 is a veto."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def weighted_product(values: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Return the score of each site, the product of value ^ weight.

    Parameters
    ----------
    values
        One row per site, one column per criterion, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Returns
    -------
    numpy.ndarray
        Score, (n,): a weighted geometric mean, never above the weighted sum. A value of 0 makes it 0, however
        good the rest; nan where a value that counts is nan. A criterion of weight 0 does nothing [0-1].

    Raises
    ------
    ValueError
        The shapes do not go together, a value is below 0, or a weight is.

    Notes
    -----
    The score never falls when a value rises, so the scores of the lowest and of the highest possible values
    are the ends of the interval that missing values leave. The last digit of a power may differ between
    processors; sites are ordered by millionths.

    References
    ----------
    Bridgman, P. W. 1922. Dimensional Analysis. Yale University Press. Miller, D. W. & Starr, M. K. 1969.
    Executive Decisions and Operations Research. Prentice-Hall (both from memory).

    Examples
    --------
    >>> weighted_product([[1.0, 0.25], [0.0, 1.0]], [0.5, 0.5]).tolist()
    [0.5, 0.0]
    """
    value_rows, weight_row = np.asarray(values, dtype=np.float64), np.asarray(weights, dtype=np.float64)
    if value_rows.ndim != 2 or value_rows.shape[1:] != weight_row.shape:
        message = f"values of shape {value_rows.shape} do not go with weights of shape {weight_row.shape}"
        raise ValueError(message)
    if (value_rows < 0).any() or (weight_row < 0).any():
        message = "a product needs values and weights of 0 or more"
        raise ValueError(message)
    score = np.ones(len(value_rows))
    for column, weight in zip(value_rows.T, weight_row, strict=True):
        if weight > 0:
            score *= column**weight
    return score
