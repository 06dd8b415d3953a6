"""Shapes put together by what they belong to."""

import numpy as np
import shapely
from numpy.typing import NDArray


def union_by_label(shapes: NDArray[np.object_], labels: NDArray[np.generic]) -> NDArray[np.object_]:
    """Return the union of the shapes of each label, in the order of the sorted labels.

    Parameters
    ----------
    shapes, labels
        Polygons and what they belong to, (n,).
    """
    order = np.argsort(labels, kind="stable")
    _, starts, sizes = np.unique(labels[order], return_index=True, return_counts=True)
    union = shapes[order][starts]
    for group in np.flatnonzero(sizes > 1):
        members = order[starts[group] : starts[group] + sizes[group]]
        union[group] = shapely.union_all(shapes[members])
    return union
