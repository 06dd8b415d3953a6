"""Longitudes brought next to a grid or a map: 0 to 360, -180 to 180, and what crosses the antimeridian."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.model.layers import TURN_DEG


def near_to(longitude_deg: NDArray[np.float64], centre_deg: float) -> NDArray[np.float64]:
    """Return the same meridians within half a turn of a centre [deg].

    Only what lies further away is changed, so that no other value loses its last bit.

    Parameters
    ----------
    longitude_deg
        Any, of any shape; nan stays [deg].
    centre_deg
        Where to [deg].

    Examples
    --------
    >>> near_to(np.array([-110.0, 170.0]), 180.0).tolist()
    [250.0, 170.0]
    """
    with np.errstate(invalid="ignore"):
        off_deg = longitude_deg - centre_deg
        turns = np.ceil((np.abs(off_deg) - TURN_DEG / 2) / TURN_DEG)
        moved = longitude_deg - np.sign(off_deg) * turns * TURN_DEG
    return np.where(np.isfinite(off_deg) & (turns > 0), moved, longitude_deg)


def middle_of(longitude_deg: NDArray[np.float64]) -> float:
    """Return the middle of the shortest arc that holds some meridians [deg].

    Parameters
    ----------
    longitude_deg
        From -180 to 180, one or more, none missing [deg].

    Examples
    --------
    >>> middle_of(np.array([-110.0, -108.0])), middle_of(np.array([-179.0, 178.0]))
    (-109.0, 179.5)
    """
    ordered = np.sort(longitude_deg)
    west, east = ordered[0], ordered[-1]
    gaps = np.diff(ordered)
    if len(gaps) and gaps.max() > TURN_DEG - (east - west):
        before = int(gaps.argmax())
        west, east = ordered[before + 1], ordered[before] + TURN_DEG
    return float((west + east) / 2.0)


def whole_near_to(shapes: NDArray[np.object_], centre_deg: float) -> NDArray[np.object_]:
    """Return shapes in degrees, each in one piece and moved by whole turns next to a centre [deg].

    A shape that crosses the antimeridian comes with vertices at 179.9 and -179.9; it is none that
    spans the Earth. Shapes are taken to be less than half a turn wide.

    Parameters
    ----------
    shapes
        (n,) shapes in longitude and latitude [deg].
    centre_deg
        Where to [deg].
    """
    vertices, owner = shapely.get_coordinates(shapes, return_index=True)
    if len(vertices) == 0:
        return shapes
    owners, first = np.unique(owner, return_index=True)
    anchor = np.full(len(shapes), np.nan)
    anchor[owners] = vertices[first, 0]
    with np.errstate(invalid="ignore"):
        from_anchor = vertices[:, 0] - anchor[owner]
        in_one_piece = near_to(from_anchor, 0.0)
        moved = near_to(anchor, centre_deg)
        stays = (in_one_piece == from_anchor) & (moved == anchor)[owner]
        longitude_deg = np.where(stays, vertices[:, 0], moved[owner] + in_one_piece)
    if stays.all():
        return shapes
    return np.asarray(
        shapely.set_coordinates(shapes.copy(), np.column_stack([longitude_deg, vertices[:, 1]])), dtype=object
    )
