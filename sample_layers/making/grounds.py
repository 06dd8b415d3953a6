"""Pieces of ground that one population can live on: infestations of one weed close together."""

from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from shapely import Point
from shapely.geometry.base import BaseGeometry

from making.weeds import Infestation

JOINED_M = 100.0


@dataclass(frozen=True)
class Ground:
    """One weed's infestations that lie together, and what they cover."""

    host: str
    shape: BaseGeometry


def make_grounds(rows: list[Infestation]) -> list[Ground]:
    """Return the pieces of ground, in the order of their first infestation."""
    shapes = np.array([row.shape for row in rows], dtype=object)
    keys = [(row.host, row.manager.name, row.parcel, row.district) for row in rows]
    one, other = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=JOINED_M)
    same = np.array(
        [keys[a] == keys[b] for a, b in zip(one.tolist(), other.tolist(), strict=True)], dtype=bool
    )
    links = coo_array((np.ones(same.sum()), (one[same], other[same])), shape=(len(rows), len(rows)))
    labels = connected_components(links, directed=False)[1].tolist()
    members: dict[int, list[int]] = {}
    for index, label in enumerate(labels):
        members.setdefault(label, []).append(index)
    return [Ground(rows[group[0]].host, shapely.union_all(shapes[group])) for group in members.values()]


def find_ground(grounds: list[Ground], host: str, place: Point) -> int:
    """Return the index of the piece of ground of this weed that is nearest to a place."""
    away = [ground.shape.distance(place) if ground.host == host else np.inf for ground in grounds]
    return int(np.argmin(away))
