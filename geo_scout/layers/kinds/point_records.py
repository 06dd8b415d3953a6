"""Releases and visits held against each other: whose they are, from which day, and how near they lie."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.model.folded import folded
from geo_scout.model.season import GEORECORD_FLOOR_M

_BLOCK = 1_000
_VAGUE_M, _FARTHEST_M = 1_000.0, 10_000.0
Pairs = NDArray[np.intp]


def agents_of(draft: LayerDraft) -> NDArray[np.object_]:
    """Return the agent of each record as names are compared."""
    names = np.empty(len(draft.frame), dtype=object)
    names[:] = [folded(str(name)) for name in draft.texts("agent")]
    return names


def days_of(draft: LayerDraft, column: str = "date") -> NDArray[np.datetime64]:
    """Return a date of each record as a day, NaT where there is none."""
    return draft.frame[column].to_numpy().astype("datetime64[D]")


def uncertainty_m(draft: LayerDraft) -> NDArray[np.float64]:
    """Return how far off each position may be; 30 m where none is stated [m]."""
    stated_m = draft.frame["coordinate_uncertainty_m"].to_numpy(dtype=np.float64)
    return np.where(np.isnan(stated_m), GEORECORD_FLOOR_M, stated_m)


def pairs_within(
    one: LayerDraft, rows: Pairs, other: LayerDraft, reach_m: NDArray[np.float64]
) -> tuple[Pairs, Pairs, NDArray[np.float64]]:
    """Return which records of another layer lie within reach of some of one, and how far off they are [m].

    Parameters
    ----------
    one, other
        Layers of points in the working reference system.
    rows
        (k,) rows of the first that are looked up.
    reach_m
        (k,) how far each reaches [m].

    Returns
    -------
    row, other_row, gap_m
        (p,) each; looked up by blocks, so that memory does not grow with the product of both.
    """
    every = np.arange(len(other.frame))
    return _look_up(one, rows, other, every, reach_m, np.zeros(len(every)))


def pairs_of_one_place(
    one: LayerDraft, rows: Pairs, other: LayerDraft
) -> tuple[Pairs, Pairs, NDArray[np.float64]]:
    """Return the pairs that may be of one place: no farther apart than both positions may be off.

    Parameters
    ----------
    one, other, rows
        As in `pairs_within`.

    Notes
    -----
    A position that may be off by more than 10 km counts as one that is, which is our choice: it names no
    place any more. Those beyond 1 km are looked up apart, so that one of them does not widen the others.
    """
    unsure_m = np.minimum(uncertainty_m(one), _FARTHEST_M)
    other_unsure_m = np.minimum(uncertainty_m(other), _FARTHEST_M)
    found = [
        _look_up(one, rows, other, np.flatnonzero(some), unsure_m[rows], other_unsure_m[some])
        for some in (other_unsure_m <= _VAGUE_M, other_unsure_m > _VAGUE_M)
        if some.any()
    ]
    if not found:
        nobody = np.empty(0, dtype=np.intp)
        return nobody, nobody, np.empty(0)
    row, other_row, gap_m = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return row, other_row, gap_m


def _look_up(
    one: LayerDraft,
    rows: Pairs,
    other: LayerDraft,
    other_rows: Pairs,
    reach_m: NDArray[np.float64],
    more_m: NDArray[np.float64],
) -> tuple[Pairs, Pairs, NDArray[np.float64]]:
    """Return pairs no farther apart than the reach of the one and what the other adds to it [m]."""
    points, shapes = geometries(one.frame), geometries(other.frame)[other_rows]
    tree, farthest_m = shapely.STRtree(shapes), float(more_m.max(initial=0.0))
    nobody = np.empty(0, dtype=np.intp)
    found = [(nobody, nobody, np.empty(0))]
    for start in range(0, len(rows), _BLOCK):
        block, block_reach_m = rows[start : start + _BLOCK], reach_m[start : start + _BLOCK]
        at, near = tree.query(points[block], predicate="dwithin", distance=block_reach_m + farthest_m)
        gap_m = shapely.distance(points[block][at], shapes[near])
        fits = gap_m <= block_reach_m[at] + more_m[near]
        found.append((block[at[fits]], other_rows[near[fits]], gap_m[fits]))
    row, other_row, gap_m = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return row, other_row, gap_m
