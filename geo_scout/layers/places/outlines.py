"""Outlines that are sure to be valid, told by arithmetic alone: most patches are drawn around a middle."""

import numpy as np
from numpy.typing import NDArray

_SMALLEST_M = 1e-9


def surely_valid(vertices: NDArray[np.float64], ends: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Return which closed rings are seen whole from their middle, and so cannot cross themselves.

    Seen from the mean of its vertices, such a ring turns always the same way and exactly once around. Any
    other ring may be valid, too: that takes the full test, which costs several times as much.

    Parameters
    ----------
    vertices
        (n, 2) coordinates of all rings one after the other, the first vertex of each repeated as its last.
    ends
        (rings + 1,) where each ring begins, and the end of the last.

    Examples
    --------
    >>> square = [[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]
    >>> crossed = [[0, 0], [1, 0], [0, 1], [1, 1], [0, 0]]
    >>> surely_valid(np.array(square + crossed, dtype=float), np.array([0, 5, 10])).tolist()
    [True, False]
    """
    sizes = np.diff(ends)
    if not len(sizes) or (sizes < 4).any():
        return np.zeros(len(sizes), dtype=bool)
    starts = ends[:-1]
    # The repeated vertex pulls the middle a little to its side, which does no harm.
    middles = np.add.reduceat(vertices, starts, axis=0) / sizes[:, None]
    east, north = (vertices - np.repeat(middles, sizes, axis=0)).T
    turns = east[:-1] * north[1:] - north[:-1] * east[1:]
    upward = (north[:-1] < 0.0) & (north[1:] >= 0.0)
    downward = (north[:-1] >= 0.0) & (north[1:] < 0.0)
    # The step from one ring's last vertex to the next ring's first belongs to neither.
    between = ends[1:-1] - 1
    spans = np.maximum.reduceat(np.abs(east), starts) + np.maximum.reduceat(np.abs(north), starts)
    least, most = turns.copy(), turns
    least[between], most = np.inf, np.where(_at(between, len(turns)), -np.inf, most)
    upward[between] = downward[between] = False
    tolerance = _SMALLEST_M * spans
    is_left = np.minimum.reduceat(least, starts) > tolerance
    is_right = np.maximum.reduceat(most, starts) < -tolerance
    rounds = np.where(is_left, np.add.reduceat(upward, starts, dtype=np.int64), 0)
    rounds += np.where(is_right, np.add.reduceat(downward, starts, dtype=np.int64), 0)
    return np.asarray((is_left | is_right) & (rounds == 1), dtype=bool)


def _at(positions: NDArray[np.int64], length: int) -> NDArray[np.bool_]:
    is_there = np.zeros(length, dtype=bool)
    is_there[positions] = True
    return is_there
