"""How far apart patches are, edge to edge and exact, for millions of pairs."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

TURN = 2 * np.pi
LOOKS = 3
"""Times the direction between two corners is corrected before a pair is left to GEOS. Our choice."""


@dataclass(frozen=True)
class Outlines:
    """Shapes, and the corners of their convex hulls in the order of the directions they are farthest in.

    Parameters
    ----------
    shapes
        (n,) polygons or points in planar metres.
    centre_m
        (n, 2) middle of the bounds [m].
    corner_m
        (k, 2) corners of the hulls, shape by shape [m].
    last_turn
        (k,) direction up to which each corner is the farthest of its shape, plus two turns for each shape
        before it, so that all are one rising list [rad].
    first
        (n + 1,) number of each shape's first corner; of the last plus one at the end.
    """

    shapes: NDArray[np.object_]
    centre_m: NDArray[np.float64]
    corner_m: NDArray[np.float64]
    last_turn: NDArray[np.float64]
    first: NDArray[np.intp]


def draw_outlines(shapes: NDArray[np.object_]) -> Outlines:
    """Return the outlines of polygons and points, none of them empty."""
    bounds = shapely.bounds(shapes).reshape(-1, 4)
    hulls = shapely.orient_polygons(shapely.convex_hull(shapes), exterior_cw=False)
    ring_m, owner = shapely.get_coordinates(hulls, return_index=True)
    # A ring closes where it began; a point is its only corner.
    is_start = np.append(owner[1:] == owner[:-1], False)[: len(owner)]
    is_start |= np.bincount(owner, minlength=len(shapes))[owner] == 1
    side_m = np.diff(ring_m, axis=0, append=0.0)[is_start]
    corner_m, owner = ring_m[is_start], owner[is_start]
    # Anticlockwise round a hull its sides face ever further round; the corner before a side is the farthest
    # up to where the side faces.
    faces = np.arctan2(-side_m[:, 0], side_m[:, 1]) % TURN + 2 * TURN * owner
    order = np.argsort(faces, kind="stable")
    return Outlines(
        shapes=shapes,
        centre_m=(bounds[:, :2] + bounds[:, 2:]) / 2,
        corner_m=corner_m[order],
        last_turn=faces[order],
        first=np.searchsorted(owner, np.arange(len(shapes) + 1)),
    )


def measure_gaps_m(outlines: Outlines, one: NDArray[np.intp], other: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return the planar distance edge to edge of pairs of shapes, 0 where they touch or overlap [m].

    Parameters
    ----------
    outlines
        The shapes.
    one, other
        (p,) positions of the two shapes of each pair.

    Notes
    -----
    Two corners of the hulls, each the farthest of its shape towards the other, are the nearest points of
    the shapes: nothing of either lies between the two lines square to the line that joins them. Most
    pairs have such corners; they are looked for from the direction of the centres. GEOS measures the
    others: those that face each other with a side or a bay, or overlap.
    """
    gap_m = np.empty(len(one))
    waiting = np.arange(len(one))
    ahead_m = outlines.centre_m[other] - outlines.centre_m[one]
    from_corner, to_corner = _facing(outlines, one, other, ahead_m)
    for _ in range(LOOKS):
        ahead_m = outlines.corner_m[to_corner] - outlines.corner_m[from_corner]
        next_from, next_to = _facing(outlines, one[waiting], other[waiting], ahead_m)
        is_found = (next_from == from_corner) & (next_to == to_corner)
        gap_m[waiting[is_found]] = np.hypot(*ahead_m[is_found].T)
        waiting, from_corner, to_corner = (part[~is_found] for part in (waiting, next_from, next_to))
    gap_m[waiting] = shapely.distance(outlines.shapes[one[waiting]], outlines.shapes[other[waiting]])
    return gap_m


def _facing(
    outlines: Outlines, one: NDArray[np.intp], other: NDArray[np.intp], ahead_m: NDArray[np.float64]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the corner of each pair's first shape farthest ahead, and of its second farthest back."""
    turn = np.arctan2(ahead_m[:, 1], ahead_m[:, 0])
    return _farthest(outlines, one, turn % TURN), _farthest(outlines, other, (turn + np.pi) % TURN)


def _farthest(outlines: Outlines, shape: NDArray[np.intp], turn: NDArray[np.float64]) -> NDArray[np.intp]:
    corner = np.searchsorted(outlines.last_turn, turn + 2 * TURN * shape)
    return np.where(corner == outlines.first[shape + 1], outlines.first[shape], corner)
