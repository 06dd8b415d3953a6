"""The score with an attitude to a site's best and worst values (ordered weighted average)."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def order_weights(count: int, alpha: float) -> FloatArray:
    """Return what the best, the second best ... value counts where all criteria weigh the same.

    Parameters
    ----------
    count
        Number of criteria, n.
    alpha
        Attitude, above 0: below 1 the best values count more, above 1 the worst; 1 is neutral [1].

    Returns
    -------
    numpy.ndarray
        (j / n)^alpha - ((j - 1) / n)^alpha for j = 1 to n, (n,); they sum to 1 [share].

    Raises
    ------
    ValueError
        There is no criterion, or alpha is not a finite number above 0.

    References
    ----------
    Yager, R. R. 1988. On ordered weighted averaging aggregation operators in multicriteria decisionmaking.
    IEEE Transactions on Systems, Man, and Cybernetics 18: 183-190. Malczewski, J. 2006. Ordered weighted
    averaging with fuzzy quantifiers. International Journal of Applied Earth Observation and Geoinformation 8:
    270-277 (both from memory).

    Examples
    --------
    >>> order_weights(4, 2.0).tolist()
    [0.0625, 0.1875, 0.3125, 0.4375]
    """
    _check_alpha(alpha)
    if count < 1:
        message = "there is no criterion to weigh by order"
        raise ValueError(message)
    return np.diff((np.arange(count + 1) / count) ** alpha)


def orness(weights_by_order: ArrayLike) -> float:
    """Return how far order weights lean to the best value: 1 counts only it, 0 only the worst.

    Parameters
    ----------
    weights_by_order
        Weights of the best, second best ... value, (n,), n of 2 or more, summing to 1 [share].

    Returns
    -------
    float
        Sum of (n - j) / (n - 1) x weight j; 0.5 is neutral [0-1].

    Raises
    ------
    ValueError
        There are fewer than two weights.

    References
    ----------
    Yager 1988, as for `order_weights`.

    Examples
    --------
    >>> round(orness([0.0625, 0.1875, 0.3125, 0.4375]), 4)
    0.2917
    """
    array = np.asarray(weights_by_order, dtype=np.float64)
    if array.ndim != 1 or len(array) < 2:
        message = "with fewer than two values there is no best and no worst to lean to"
        raise ValueError(message)
    return float(np.arange(len(array) - 1, -1, -1) @ array / (len(array) - 1))


def alpha_of_attitude(attitude: float) -> float:
    """Return the alpha whose power curve has an orness.

    Parameters
    ----------
    attitude
        Orness: towards 0 only the worst value counts, 0.5 is neutral, towards 1 only the best [0-1].

    Returns
    -------
    float
        (1 - orness) / orness, above 0 [1].

    Raises
    ------
    ValueError
        The attitude is not between 0 and 1, which leave no curve.

    Notes
    -----
    The orness of the curve r^alpha is the area below it, 1 / (1 + alpha). The `orness` of the weights that
    it gives so many criteria lies closer to 0.5, the more so the fewer they are.

    References
    ----------
    Yager 1996, as for `ordered_weighted_average`.

    Examples
    --------
    >>> alpha_of_attitude(0.5), alpha_of_attitude(0.25)
    (1.0, 3.0)
    """
    if not 0 < attitude < 1:
        message = f"an attitude of {attitude:g} has no curve; it must lie between 0 and 1"
        raise ValueError(message)
    return (1 - attitude) / attitude


def ordered_weighted_average(values: ArrayLike, weights: ArrayLike, alpha: float) -> FloatArray:
    """Return the score of each site with an attitude towards its best and its worst values.

    Parameters
    ----------
    values
        One row per site, one column per criterion, (n, k) [0-1].
    weights
        Weights of the criteria that sum to 1, (k,) [share].
    alpha
        Attitude, above 0: below 1 a site may make up for weak values (towards 0 its best value alone
        counts), above 1 weak values hold it back (towards infinity its worst alone); 1 is the weighted sum
        [1].

    Returns
    -------
    numpy.ndarray
        Score, (n,); nan where a value that counts is nan. A criterion of weight 0 does nothing [0-1].

    Raises
    ------
    ValueError
        The shapes do not go together, or alpha is not a finite number above 0.

    Notes
    -----
    With a site's values from the best to the worst and W_j the sum of the first j of their weights, value j
    counts W_j^alpha - W_(j-1)^alpha; equal weights make that `order_weights`. So a criterion keeps its weight
    and the attitude comes on top. The score never falls when a value rises, so the scores of the lowest and
    of the highest possible values are the ends of the interval that missing values leave. The last digit of
    a power may differ between processors; sites are ordered by millionths.

    References
    ----------
    Malczewski 2006, as for `order_weights`; Yager, R. R. 1996. Quantifier guided aggregation using OWA
    operators. International Journal of Intelligent Systems 11: 49-73 (from memory).

    Examples
    --------
    >>> ordered_weighted_average([[0.2, 1.0]], [0.5, 0.5], alpha=2.0).round(6).tolist()
    [0.4]
    >>> ordered_weighted_average([[0.2, 1.0]], [0.75, 0.25], alpha=1.0).round(6).tolist()
    [0.4]
    """
    _check_alpha(alpha)
    value_rows, weight_row = np.asarray(values, dtype=np.float64), np.asarray(weights, dtype=np.float64)
    if value_rows.ndim != 2 or value_rows.shape[1:] != weight_row.shape:
        message = f"values of shape {value_rows.shape} do not go with weights of shape {weight_row.shape}"
        raise ValueError(message)
    counted = np.flatnonzero(weight_row)
    value_rows, weight_row = value_rows[:, counted], weight_row[counted]
    order = np.argsort(-value_rows, axis=1, kind="stable")
    reached = np.cumsum(weight_row[order], axis=1)
    # The last sum is 1 but for rounding, and must be 1 for the shares to sum to 1.
    reached = np.minimum(reached / reached[:, -1:], 1.0) ** alpha
    shares = np.diff(reached, axis=1, prepend=0.0)
    score = np.zeros(len(value_rows))
    for place in range(len(counted)):
        score += shares[:, place] * np.take_along_axis(value_rows, order[:, place : place + 1], axis=1)[:, 0]
    return score


def _check_alpha(alpha: float) -> None:
    if not (np.isfinite(alpha) and alpha > 0):
        message = f"the attitude alpha is {alpha:g}; it must be a finite number above 0 (1 is neutral)"
        raise ValueError(message)
