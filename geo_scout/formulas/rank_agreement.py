"""How far two orders of the same sites agree."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

IntArray = NDArray[np.int64]


def kendall_tau_b(first: ArrayLike, second: ArrayLike) -> float:
    """Return Kendall's rank correlation of two rows of values, ties allowed.

    Parameters
    ----------
    first, second
        Values, (n,) each, finite [any].

    Returns
    -------
    float
        (pairs in the same order - pairs in opposite order) / root of (pairs not tied in the first x pairs not
        tied in the second); nan where one of them is all ties, or with fewer than two values [-1 to 1].

    Raises
    ------
    ValueError
        The lengths differ, or a value is not finite.

    Notes
    -----
    Counted exactly in whole numbers, in time n log n: after sorting by the first, pairs in opposite order are
    the inversions of the second.

    References
    ----------
    Kendall, M. G. 1945. The treatment of ties in ranking problems. Biometrika 33: 239-251. Knight, W. R.
    1966. A computer method for calculating Kendall's tau with ungrouped data. Journal of the American
    Statistical Association 61: 436-439 (both from memory).

    Examples
    --------
    Of three pairs two are in the same order and one in the opposite:

    >>> round(kendall_tau_b([1, 2, 3], [1, 3, 2]), 4)
    0.3333
    """
    one, other = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    if one.ndim != 1 or one.shape != other.shape:
        message = f"rows of shape {one.shape} and {other.shape} cannot be compared"
        raise ValueError(message)
    if not (np.isfinite(one).all() and np.isfinite(other).all()):
        message = "a value is not a finite number, so it has no place in the order"
        raise ValueError(message)
    one_place, other_place = (np.unique(row, return_inverse=True)[1] for row in (one, other))
    pairs = len(one) * (len(one) - 1) // 2
    both = one_place.astype(np.int64) * (len(one) + 1) + other_place
    tied_one, tied_other, tied_both = _tied_pairs(one_place), _tied_pairs(other_place), _tied_pairs(both)
    if pairs in (tied_one, tied_other):
        return float("nan")
    opposite = _inversions(other_place[np.lexsort((other_place, one_place))])
    surplus = pairs - tied_one - tied_other + tied_both - 2 * opposite
    return surplus / float(np.sqrt(float(pairs - tied_one) * float(pairs - tied_other)))


def _tied_pairs(place: NDArray[np.integer]) -> int:
    counts = np.unique(place, return_counts=True)[1].astype(np.int64)
    return int((counts * (counts - 1) // 2).sum())


def _inversions(places: NDArray[np.integer]) -> int:
    """Return how many pairs stand with the larger whole number first.

    Two numbers are told apart by the highest binary digit in which they differ; among those that agree
    above it, each 0 counts the 1s that stand before it.
    """
    rows = places.astype(np.int64)
    found = 0
    for digit in range(int(rows.max()).bit_length() - 1, -1, -1):
        above = rows >> (digit + 1)
        rows = rows[np.argsort(above, kind="stable")]
        is_one = (rows >> digit) & 1
        before = np.cumsum(is_one) - is_one
        is_first = np.diff(rows >> (digit + 1), prepend=-1) != 0
        at_start = before[is_first][np.cumsum(is_first) - 1]
        found += int(((before - at_start) * (1 - is_one)).sum())
    return found
