"""The smallest change of one weight, the others scaled in proportion, that changes an order of sites."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.combining import points, score_integer, weighted_sum

FloatArray = NDArray[np.float64]

# Scores are ordered as millionths; a difference of a millionth and a half is at least one of them.
_CLEAR_SCORE = 1.5e-6
_SAME_WEIGHT = 1e-12  # changes that differ by less are equal but for rounding


class SwapWeights(NamedTuple):
    """At which value of each single weight two sites change places.

    Parameters
    ----------
    equal_at
        (p, k) the weight at which both score the same, by pair and criterion; nan where no weight from 0
        to 1 puts the lower site above [share].
    checked_at
        (p, k) a weight just past it, where the lower site was scored again and stood above by at least one
        millionth; nan as before [share].
    criterion
        (p,) the criterion whose weight has to change least, the first of equal ones; -1 where none does it.
    """

    equal_at: FloatArray
    checked_at: FloatArray
    criterion: NDArray[np.intp]


class CutChange(NamedTuple):
    """The smallest change of one weight that moves a site across a cut.

    Parameters
    ----------
    criterion
        Column of the criterion whose weight changes.
    equal_at
        Weight at which the site draws level with the one it has to pass, or that passes it [share].
    checked_at
        A weight just past it, at which all sites were scored again and the site was across [share].
    """

    criterion: int
    equal_at: float
    checked_at: float


def changed_weights(weights: ArrayLike, criterion: int, weight: float) -> FloatArray:
    """Return the weights with one of them changed and the others scaled to make up for it.

    Parameters
    ----------
    weights
        Weights that sum to 1, (k,) [share].
    criterion
        Column of the weight that changes.
    weight
        Its new value, 0 to 1 [share].

    Returns
    -------
    numpy.ndarray
        Weights that sum to 1, (k,); the others keep their proportions to each other [share].

    Raises
    ------
    ValueError
        The new weight is outside 0-1, or the old one is 1, so that the others have no proportions.

    Examples
    --------
    >>> changed_weights([0.5, 0.3, 0.2], criterion=0, weight=0.0).round(6).tolist()
    [0.0, 0.6, 0.4]
    """
    shares = np.asarray(weights, dtype=np.float64)
    if not 0 <= weight <= 1:
        message = f"a weight of {weight:g} is outside 0 to 1"
        raise ValueError(message)
    if not _has_others(shares, criterion):
        message = "one weight has it all; the others have no proportions to be scaled in"
        raise ValueError(message)
    changed = np.asarray(shares * ((1 - weight) / np.delete(shares, criterion).sum()), dtype=np.float64)
    changed[criterion] = weight
    return changed


def swap_weights(above: ArrayLike, below: ArrayLike, weights: ArrayLike) -> SwapWeights:
    """Return at which value of each single weight the lower of two sites passes the higher one.

    Parameters
    ----------
    above, below
        Values of the site that ranks higher and of the one that ranks lower, a row for each pair, (p, k)
        [0-1].
    weights
        Weights that sum to 1, (k,) [share].

    Raises
    ------
    ValueError
        The shapes do not go together, or a site given as the lower one scores more.

    Notes
    -----
    For the weighted sum. With S the score of a site, v its values and R = (S - w v) / (1 - w) what the other
    criteria alone would score, both sites are level at (R_a - R_b) / ((R_a - R_b) - (v_a - v_b)). A pair with
    a nan in a criterion that counts has nan throughout. One weight that has it all has no change.

    References
    ----------
    Triantaphyllou, E. & Sanchez, A. 1997. A sensitivity analysis approach for some deterministic
    multi-criteria decision-making methods. Decision Sciences 28: 151-194, for the question (from memory); the
    others scaled in proportion is our own algebra.

    Examples
    --------
    >>> found = swap_weights([[1.0, 0.0]], [[0.0, 1.0]], [0.6, 0.4])
    >>> found.equal_at.round(6).tolist(), found.criterion.tolist()
    ([[0.5, 0.5]], [0])
    """
    higher, lower = np.asarray(above, dtype=np.float64), np.asarray(below, dtype=np.float64)
    shares = np.asarray(weights, dtype=np.float64)
    if higher.ndim != 2 or higher.shape != lower.shape or higher.shape[1:] != shares.shape:
        message = f"values of shape {higher.shape} and {lower.shape} do not go with {shares.shape} weights"
        raise ValueError(message)
    if (weighted_sum(higher, shares) - weighted_sum(lower, shares) < -_CLEAR_SCORE).any():
        message = "the site given as the higher one must not score less than the lower one"
        raise ValueError(message)
    equal_at, checked_at = np.full(higher.shape, np.nan), np.full(higher.shape, np.nan)
    for criterion in range(len(shares)):
        if not _has_others(shares, criterion):
            continue
        others, own = _lines(higher - lower, shares, criterion)
        slope = own - others
        with np.errstate(divide="ignore", invalid="ignore"):
            level = -others / slope
            past = level - _CLEAR_SCORE / slope
        is_possible = (level >= 0) & (level <= 1) & (past >= 0) & (past <= 1)
        for pair in np.flatnonzero(is_possible):
            again = changed_weights(shares, criterion, float(past[pair]))
            scores = score_integer(weighted_sum([higher[pair], lower[pair]], again))
            if scores[1] > scores[0]:
                equal_at[pair, criterion], checked_at[pair, criterion] = level[pair], past[pair]
    change = np.where(np.isnan(equal_at), np.inf, np.abs(equal_at - shares))
    least = change.min(axis=1)
    best = (change <= least[:, None] + _SAME_WEIGHT).argmax(axis=1)
    return SwapWeights(equal_at, checked_at, np.where(np.isfinite(least), best, -1))


def weight_across_cut(
    values: ArrayLike, weights: ArrayLike, id_order: ArrayLike, site: int, places: int
) -> CutChange | None:
    """Return the smallest change of one weight that moves a site into the first places, or out of them.

    Parameters
    ----------
    values
        Values of all ranked sites, (n, k); none missing [0-1].
    weights
        Weights that sum to 1, (k,) [share].
    id_order
        Place of each site_id in the order of the ids, (n,), which decides between equal scores.
    site
        Position of the site asked about.
    places
        How many places are above the cut, 1 or more.

    Returns
    -------
    CutChange or None
        None where no change of a single weight does it.

    Raises
    ------
    ValueError
        The shapes do not go together, or a value is missing.

    Notes
    -----
    For the weighted sum. All other sites move with the weight too, so each site's own crossing point is
    worked out, and the crossings are counted one after the other away from the present weight. The answer is
    scored and ranked again with all sites; a stretch of weights so narrow that the scores as millionths do
    not show it is passed over. Of equal changes the first criterion's is taken.

    Examples
    --------
    >>> values = [[1.0, 0.0], [0.6, 0.5], [0.0, 1.0]]
    >>> found = weight_across_cut(values, [0.6, 0.4], id_order=[0, 1, 2], site=1, places=1)
    >>> found.criterion, round(found.equal_at, 6)
    (0, 0.555556)
    """
    rows, shares = np.asarray(values, dtype=np.float64), np.asarray(weights, dtype=np.float64)
    order = np.asarray(id_order)
    if rows.ndim != 2 or rows.shape[1:] != shares.shape or order.shape != (len(rows),):
        message = f"values of shape {rows.shape} do not go with {shares.shape} weights or {order.shape} ids"
        raise ValueError(message)
    was_inside = _rank(rows, shares, order, site) <= places
    is_other = np.arange(len(rows)) != site
    differences, first_by_id = (rows[site] - rows)[is_other], order[is_other] < order[site]
    found: CutChange | None = None
    least = np.inf
    for criterion in np.flatnonzero([_has_others(shares, column) for column in range(len(shares))]).tolist():
        others, own = _lines(differences, shares, criterion)
        weight = float(shares[criterion])
        for direction, room in ((1.0, 1.0 - weight), (-1.0, weight)):
            lead = others + weight * (own - others)
            stretches = _stretches(lead, direction * (own - others), room, first_by_id, places, was_inside)
            for moved, past in _tries(stretches, least):
                again = changed_weights(shares, criterion, weight + direction * past)
                if (_rank(rows, again, order, site) <= places) != was_inside:
                    least = moved
                    found = CutChange(criterion, weight + direction * moved, weight + direction * past)
                    break
    return found


def _has_others(shares: FloatArray, criterion: int) -> bool:
    return bool((np.delete(shares, criterion) > 0).any())


def _lines(differences: FloatArray, shares: FloatArray, criterion: int) -> tuple[FloatArray, FloatArray]:
    """Return the lead of one site over others where this criterion weighs nothing and where it weighs all."""
    parts = points(differences, shares)
    others = weighted_sum(np.delete(parts, criterion, axis=1), np.ones(len(shares) - 1))
    return others / np.delete(shares, criterion).sum(), differences[:, criterion]


def _rank(rows: FloatArray, shares: FloatArray, order: NDArray[np.generic], site: int) -> int:
    millionths = score_integer(weighted_sum(rows, shares))
    is_before = (millionths > millionths[site]) | ((millionths == millionths[site]) & (order < order[site]))
    return 1 + int(is_before.sum())


def _stretches(
    lead: FloatArray,
    gain: FloatArray,
    room: float,
    first_by_id: NDArray[np.bool_],
    places: int,
    was_inside: bool,
) -> Iterator[tuple[float, float]]:
    """Yield from where to where a weight has to move for the site to be across the cut, nearest first.

    `lead` is the site's lead over each other one now, `gain` what the lead gains as the weight moves by one.
    Where several cross at one weight there are stretches of no length, in which nothing is tried.
    """
    is_level = lead == 0
    is_above = (lead < 0) | (is_level & ((gain < 0) | ((gain == 0) & first_by_id)))
    turns = np.flatnonzero(lead * gain < 0)
    moved = -lead[turns] / gain[turns]
    turns, moved = turns[moved < room], moved[moved < room]
    nearest_first = np.argsort(moved, kind="stable")
    starts = np.append(0.0, moved[nearest_first])
    above = np.cumsum(np.append(is_above.sum(), np.where(lead[turns] > 0, 1, -1)[nearest_first]))
    is_across = (above < places) != was_inside
    begins = np.flatnonzero(is_across & ~np.append(False, is_across[:-1]))
    ends = np.flatnonzero(~is_across & np.append(False, is_across[:-1]))
    for number, begin in enumerate(begins.tolist()):
        yield float(starts[begin]), float(starts[ends[number]]) if number < len(ends) else room


def _tries(stretches: Iterator[tuple[float, float]], least: float) -> Iterator[tuple[float, float]]:
    """Yield where each stretch begins and points just past it, further and further, while below `least`."""
    for begin, end in stretches:
        if begin >= least - _SAME_WEIGHT:
            return
        step = _CLEAR_SCORE
        while begin + step < end:
            yield begin, begin + step
            step *= 4
