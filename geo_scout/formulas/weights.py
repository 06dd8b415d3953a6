"""Weights from an order of importance, and weights of criteria that stand in groups."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.combining import normalise_weights
from geo_scout.formulas.tied_ranks import tied_ranks

FloatArray = NDArray[np.float64]


def rank_order_centroid(importance_rank: ArrayLike) -> FloatArray:
    """Return the weights that an order of importance stands for: the centroid of all that agree with it.

    Parameters
    ----------
    importance_rank
        Place of each criterion, (k,): the smallest number is the most important. Only the order counts, so
        1, 2, 2, 3 and 1, 2, 2, 4 say the same.

    Returns
    -------
    numpy.ndarray
        Weights that sum to 1, (k,) [share].

    Raises
    ------
    ValueError
        There is no criterion, or a place is not finite.

    Notes
    -----
    The criterion in place r of k has (1/k) (1/r + 1/(r + 1) + ... + 1/k). Criteria in one place share
    the mean of the places they fill: it is the centroid when nothing is said about the order among them. The
    last of many criteria almost vanishes (0.04 of five, 0.01 of ten).

    References
    ----------
    Barron, F. H. & Barrett, B. E. 1996. Decision quality using ranked attribute weights. Management Science
    42: 1515-1523. The mean over ties is our reading of an order that is not complete.

    Examples
    --------
    >>> rank_order_centroid([1, 2, 3]).round(4).tolist()
    [0.6111, 0.2778, 0.1111]
    >>> rank_order_centroid([2, 1, 2]).round(4).tolist()
    [0.1944, 0.6111, 0.1944]
    """
    places = np.asarray(importance_rank, dtype=np.float64)
    if places.ndim != 1 or not len(places) or not np.isfinite(places).all():
        message = "an order of importance needs one finite place for each criterion"
        raise ValueError(message)
    count = len(places)
    by_place = np.cumsum(1 / np.arange(count, 0, -1))[::-1] / count
    ranks = tied_ranks(places)
    first, last = ranks.first - 1, ranks.last
    total_before = np.append(0.0, np.cumsum(by_place))
    return np.asarray((total_before[last] - total_before[first]) / (last - first), dtype=np.float64)


def grouped_weights(group: ArrayLike, group_weights: ArrayLike, weights_inside: ArrayLike) -> FloatArray:
    """Return the weight of each criterion: that of its group times its share inside the group.

    Parameters
    ----------
    group
        Group of each criterion, (k,), numbered from 0.
    group_weights
        Weights of the groups, (g,); none negative, at least one above 0 [any].
    weights_inside
        Weight of each criterion inside its group, (k,); each group by itself is brought to a sum of 1 [any].

    Returns
    -------
    numpy.ndarray
        Weights that sum to 1, (k,) [share].

    Raises
    ------
    ValueError
        The lengths differ, a criterion names no group, a group has no criterion or only criteria of
        weight 0, or a weight is negative or not finite.

    Notes
    -----
    How many criteria a group has does not change what the group counts.

    References
    ----------
    Saaty, T. L. 1980. The Analytic Hierarchy Process. McGraw-Hill: weights down a hierarchy multiply (from
    memory).

    Examples
    --------
    >>> grouped_weights([0, 0, 1], group_weights=[3, 1], weights_inside=[2, 2, 5]).tolist()
    [0.375, 0.375, 0.25]
    """
    members, between = np.asarray(group, dtype=np.intp), normalise_weights(group_weights)
    inside = np.asarray(weights_inside, dtype=np.float64)
    if members.ndim != 1 or inside.shape != members.shape:
        message = f"{inside.size} weights inside groups do not go with the groups of {members.size} criteria"
        raise ValueError(message)
    if not np.isin(members, np.arange(len(between))).all():
        message = f"the groups are numbered 0 to {len(between) - 1}, but a criterion is in another"
        raise ValueError(message)
    weights = np.zeros(len(members))
    for number, group_weight in enumerate(between):
        is_member = members == number
        if not is_member.any():
            message = f"group {number} has no criterion, so its weight would go nowhere"
            raise ValueError(message)
        weights[is_member] = group_weight * normalise_weights(inside[is_member])
    return weights
