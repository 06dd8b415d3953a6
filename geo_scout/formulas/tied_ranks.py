"""Ranks of values of which some are equal."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray


class TiedRanks(NamedTuple):
    """First, last and mean of the places that equal values fill, from 1 for the smallest.

    Parameters
    ----------
    first, last
        (n,) whole numbers from 1 to n.
    mean
        (n,) their mean.
    """

    first: NDArray[np.intp]
    last: NDArray[np.intp]
    mean: NDArray[np.float64]


def tied_ranks(values: ArrayLike) -> TiedRanks:
    """Return the places of values in rising order.

    Parameters
    ----------
    values
        (n,) finite values [any].

    Raises
    ------
    ValueError
        The values are no row, or one is nan, which has no place.

    Examples
    --------
    >>> found = tied_ranks([20.0, 10.0, 20.0])
    >>> found.first.tolist(), found.last.tolist(), found.mean.tolist()
    ([2, 1, 2], [3, 1, 3], [2.5, 1.0, 2.5])
    """
    row = np.asarray(values, dtype=np.float64)
    if row.ndim != 1 or np.isnan(row).any():
        message = "ranks need a row of values, none of them nan"
        raise ValueError(message)
    _, place, counts = np.unique(row, return_inverse=True, return_counts=True)
    last = np.cumsum(counts)
    first = last - counts + 1
    return TiedRanks(first[place], last[place], ((first + last) / 2)[place])
