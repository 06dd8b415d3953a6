"""Shapes brought from one reference system to another: every vertex once, parts of the layer at a time."""

from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from shapely import GeometryType

from geo_scout.formulas.side_by_side import in_parts
from geo_scout.layers.places.outlines import surely_valid

ShapeArray = NDArray[Any]
Rows = NDArray[np.bool_]


def moved(shapes: ShapeArray, open_transformer: Callable[[], Transformer]) -> tuple[ShapeArray, Rows]:
    """Return the shapes in another system, and which of them are valid there.

    Parameters
    ----------
    shapes
        (n,) shapes, none missing.
    open_transformer
        Opens the way to the other system; called once in each thread.
    """
    if not len(shapes):
        return shapes.copy(), np.zeros(0, dtype=bool)

    def move(part: ShapeArray) -> tuple[ShapeArray, Rows]:
        vertices = shapely.get_coordinates(part)
        east, north = open_transformer().transform(vertices[:, 0], vertices[:, 1])
        return _rebuilt(part, np.column_stack([east, north]))

    done = in_parts(move, shapes)
    return np.concatenate([part for part, _ in done]), np.concatenate([valid for _, valid in done])


def _rebuilt(shapes: ShapeArray, vertices: NDArray[np.float64]) -> tuple[ShapeArray, Rows]:
    """Return the shapes with other vertices, and which are valid; plain polygons are built anew, quicker."""
    is_plain = (shapely.get_type_id(shapes) == GeometryType.POLYGON).all() and np.isfinite(vertices).all()
    if not is_plain or shapely.get_num_interior_rings(shapes).any():
        replaced: ShapeArray = shapely.set_coordinates(shapes.copy(), vertices)
        return replaced, np.asarray(shapely.is_valid(replaced), dtype=bool)
    ends = np.concatenate([[0], np.cumsum(shapely.get_num_coordinates(shapes))])
    one_ring_each = np.arange(len(shapes) + 1)
    built: ShapeArray = shapely.from_ragged_array(GeometryType.POLYGON, vertices, (ends, one_ring_each))
    is_valid = surely_valid(vertices, ends)
    is_valid[~is_valid] = shapely.is_valid(built[~is_valid])
    return built, is_valid
