"""The rings of many polygons at once, as numbers that can be printed."""

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

Ring = NDArray[np.float64]


def rings_of(geometries: NDArray[np.object_], decimals: int) -> list[list[list[Ring]]]:
    """Return, for each geometry, its polygons, each as its outline and then its holes.

    Parameters
    ----------
    geometries
        Polygons and multipolygons, (n,); of a collection the polygons count; missing ones have none.
    decimals
        Decimals of the coordinates.

    Returns
    -------
    list
        Each ring is (k, 2), closed: its last vertex is its first.

    Examples
    --------
    >>> [[[outline]]] = rings_of(np.array([shapely.box(0, 0, 1, 2)]), 6)
    >>> outline.tolist()
    [[1.0, 0.0], [1.0, 2.0], [0.0, 2.0], [0.0, 0.0], [1.0, 0.0]]
    """
    parts, owner = shapely.get_parts(geometries, return_index=True)
    is_ground = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(parts)
    parts, owner = parts[is_ground], owner[is_ground]
    rings, polygon = shapely.get_rings(parts, return_index=True)
    vertices, ring = shapely.get_coordinates(rings, return_index=True)
    # Rounding through whole numbers gives the number nearest to the decimals, which prints short.
    vertices = np.round(vertices, decimals)
    ends = np.searchsorted(ring, np.arange(len(rings) + 1)).tolist()
    polygons: list[list[Ring]] = [[] for _ in parts]
    for one, (first, last) in zip(polygon.tolist(), pairwise(ends), strict=True):
        polygons[one].append(vertices[first:last])
    found: list[list[list[Ring]]] = [[] for _ in geometries]
    for one, of_polygon in zip(owner.tolist(), polygons, strict=True):
        found[one].append(of_polygon)
    return found
