"""The ground of a shape: what is left after cutting, without crumbs and slits."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

CRUMB_M2 = 1.0
CRUMB_SHARE = 0.01
"""Parts cut off that are smaller than both are drawing noise, not infestation. Our choice."""

SLIT_M = 1e-7
"""Gaps between two outlines drawn along one line are far narrower: a coordinate has 1e-9 of its own [m].

A wider one would move the vertices so far that the ground no longer adds up to that of its members.
"""


def close_slits(shapes: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return shapes put together from parts without the hair-wide gaps along the seams.

    Parameters
    ----------
    shapes
        Polygons in planar metres, (n,).

    Returns
    -------
    numpy.ndarray
        The same ground, (n,), its vertices moved by less than `SLIT_M`; a shape nowhere as wide stays.

    Notes
    -----
    One infestation is cut along another's outline, and each has its own last digits on that line. Put
    together, they leave slits and needles of no width, which a map draws as lines through the patch.
    """
    closed = np.asarray(shapely.set_precision(shapely.set_precision(shapes, SLIT_M), 0.0), dtype=object)
    return np.where(shapely.is_empty(closed), shapes, closed)


def only_ground(cut: shapely.Geometry, whole: shapely.Geometry) -> Polygon | MultiPolygon:
    """Return the polygons of a cut shape that are not crumbs; an empty polygon when none is.

    Parameters
    ----------
    cut
        What was left of a shape, any geometry in planar metres.
    whole
        The shape before the cut: a single plant of half a square metre is no crumb.
    """
    parts = shapely.get_parts(shapely.get_parts(cut))
    is_polygon = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    crumb_m2 = min(CRUMB_M2, CRUMB_SHARE * float(shapely.area(whole)))
    ground = parts[is_polygon & (shapely.area(parts) > crumb_m2)]
    if len(ground) == 0:
        return Polygon()
    return MultiPolygon(list(ground)) if len(ground) > 1 else Polygon(ground[0])
