"""Sums over what lies within a distance of many places, from tiles, so that memory stays flat."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.spatial import cKDTree

FloatArray = NDArray[np.float64]

# A tile's side is an eighth of the distance: a window then holds at most some 320 tiles.
_TILES_PER_RADIUS = 8
_PLACES_PER_BLOCK = 4_096


class TileSums(NamedTuple):
    """Totals over a window about each place.

    Parameters
    ----------
    sums
        (n, quantities).
    least, most
        (n,) smallest and largest of the ranked quantity; nan where the window is empty.
    """

    sums: FloatArray
    least: FloatArray
    most: FloatArray


def sum_within(
    places_m: FloatArray, points_m: FloatArray, quantities: FloatArray, ranked: FloatArray, radius_m: float
) -> TileSums:
    """Return sums of point quantities within a distance of each place.

    Parameters
    ----------
    places_m
        (n, 2) easting and northing [m].
    points_m
        (points, 2) easting and northing [m].
    quantities
        (points, quantities) what is summed, without nan.
    ranked
        (points,) of what smallest and largest are wanted, without nan.
    radius_m
        The distance [m].

    Notes
    -----
    Points are first put together in square tiles an eighth of the distance wide; a tile counts whole when
    the mean position of its points lies within the distance. Where points are farther apart than a tile is
    wide every point is a tile of its own and the window is an exact circle. Tiles are counted from 0 east and
    0 north, so one place's answer does not depend on the other places.
    """
    count = len(places_m)
    result = TileSums(np.zeros((count, quantities.shape[1])), *np.full((2, count), np.nan))
    if count == 0 or len(points_m) == 0:
        return result
    centres, sums, least, most = _tiles(points_m, quantities, ranked, radius_m / _TILES_PER_RADIUS)
    for rows, within in _within(places_m, centres, radius_m):
        result.sums[rows] = within @ sums
        filled = np.flatnonzero(np.diff(within.indptr)) + rows.start
        starts = within.indptr[:-1][np.diff(within.indptr) > 0]
        if len(starts):
            result.least[filled] = np.minimum.reduceat(least[within.indices], starts)
            result.most[filled] = np.maximum.reduceat(most[within.indices], starts)
    return result


def _tiles(
    points_m: FloatArray, quantities: FloatArray, ranked: FloatArray, side_m: float
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return centre, sums, smallest and largest of each tile that holds a point."""
    tile = np.floor(points_m / side_m).astype(np.int64)
    _, which = np.unique(tile, axis=0, return_inverse=True)
    order = np.argsort(which, kind="stable")
    starts = np.flatnonzero(np.diff(which[order], prepend=-1))
    held = np.diff(np.append(starts, len(order)))
    return (
        np.add.reduceat(points_m[order], starts) / held[:, None],
        np.add.reduceat(quantities[order], starts),
        np.minimum.reduceat(ranked[order], starts),
        np.maximum.reduceat(ranked[order], starts),
    )


def _within(
    places_m: FloatArray, centres_m: FloatArray, radius_m: float
) -> Iterator[tuple[slice, csr_array]]:
    """Yield, block by block of places, which tiles lie within the distance (0 or 1)."""
    tree = cKDTree(centres_m)
    known = np.asarray(np.isfinite(places_m).all(axis=1))
    for first in range(0, len(places_m), _PLACES_PER_BLOCK):
        rows = slice(first, min(first + _PLACES_PER_BLOCK, len(places_m)))
        there = np.flatnonzero(known[rows])
        shape = (rows.stop - rows.start, len(centres_m))
        pairs = cKDTree(places_m[rows][there]).sparse_distance_matrix(tree, radius_m, output_type="ndarray")
        ones = np.ones(len(pairs))
        yield rows, csr_array((ones, (there[pairs["i"]], pairs["j"])), shape=shape)
