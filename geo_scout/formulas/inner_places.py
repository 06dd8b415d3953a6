"""One place inside each shape that does not hang on the last digits of its coordinates."""

import numpy as np
import shapely
from numpy.typing import NDArray

HEIGHT_SHARE = (5**0.5 - 1) / 2 - 1 / 8
"""Where the line lies between south and north [share]: near the middle, and on no whole fraction.

Outlines drawn round the cells of a raster have sides at whole fractions of their height; there a line
along a side would be inside or outside by chance.
"""
_TENTH_M2, _CENTIMETRE, _MILLIMETRE = 1, 2, 3


def inner_places(shapes: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return a point inside each shape, the same one however the shape came to the plane.

    Parameters
    ----------
    shapes
        Polygons, multipolygons or points in a planar system, (n,) [m].

    Returns
    -------
    numpy.ndarray
        Points, (n,); empty for empty shapes, None for missing ones [m].

    Notes
    -----
    The place is the middle of the widest stretch of a line from west to east through the largest part,
    near its middle height. Of parts or stretches as large as each other the western one counts. Areas and
    lengths are compared when rounded, and vertices do not decide: the same outline in degrees and in feet
    differs in its last digits, and cutting it may leave one more vertex on a straight side.

    Examples
    --------
    >>> inner_places(np.array([shapely.MultiPoint([[7, 7]]), shapely.box(0.0, 0.0, 4.0, 1.0)])).tolist()
    [<POINT (7 7)>, <POINT (2 0.493)>]
    """
    places = np.asarray(shapely.point_on_surface(shapes), dtype=object)
    parts, owner = shapely.get_parts(shapes, return_index=True)
    is_ground = shapely.area(parts) > 0.0
    parts, owner = _largest(parts[is_ground], owner[is_ground])
    middles, found = _middles(parts)
    places[owner[found]] = middles
    return places


def _largest(
    parts: NDArray[np.object_], owner: NDArray[np.intp]
) -> tuple[NDArray[np.object_], NDArray[np.intp]]:
    west, south, _, _ = shapely.bounds(parts).reshape(-1, 4).T
    by = (
        np.round(south, _CENTIMETRE),
        np.round(west, _CENTIMETRE),
        -np.round(shapely.area(parts), _TENTH_M2),
        owner,
    )
    first = _firsts(np.lexsort(by), owner)
    return parts[first], owner[first]


def _middles(parts: NDArray[np.object_]) -> tuple[NDArray[np.object_], NDArray[np.intp]]:
    """Return the middle of the widest stretch of each part, and which parts have one."""
    west, south, east, north = shapely.bounds(parts).reshape(-1, 4).T
    height = south + HEIGHT_SHARE * (north - south)
    ends = np.stack([np.stack([west - 1.0, height], axis=1), np.stack([east + 1.0, height], axis=1)], axis=1)
    inside = shapely.intersection(shapely.linestrings(ends), parts)
    stretches, of_part = shapely.get_parts(inside, return_index=True)
    from_east, _, to_east, _ = shapely.bounds(stretches).reshape(-1, 4).T
    by = (np.round(from_east, _MILLIMETRE), -np.round(to_east - from_east, _MILLIMETRE), of_part)
    first = _firsts(np.lexsort(by), of_part)
    of_part = of_part[first]
    middle = (from_east[first] + to_east[first]) / 2
    return np.asarray(shapely.points(middle, height[of_part]), dtype=object), of_part


def _firsts(order: NDArray[np.intp], group: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the first position of each group in an order that keeps groups together."""
    return order[np.r_[True, np.diff(group[order]) > 0]] if len(order) else order
