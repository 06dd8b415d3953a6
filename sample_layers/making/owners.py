"""Who looks after which piece of ground."""

from dataclasses import dataclass

import numpy as np
from shapely import Point
from shapely.geometry.base import BaseGeometry

from making.frame import (
    DISTRICTS_EAST_M,
    DISTRICTS_NORTH_M,
    DISTRICTS_SOUTH_M,
    DISTRICTS_WEST_M,
    Floats,
    chance,
    settle,
)
from making.names import OWNERS, ROADS_OFFICE, WARDENS, Manager


@dataclass(frozen=True)
class Owners:
    """The register of parcels: a place belongs to the nearest parcel centre, roads and reserves come first.

    Attributes
    ----------
    centres_m
        Easting and northing of every parcel's centre [m], shape (parcels, 2).
    parcels
        Manager and parcel name, in the same order.
    road_strip, reserves
        Ground with a manager of its own.
    """

    centres_m: Floats
    parcels: list[tuple[Manager, str]]
    road_strip: BaseGeometry
    reserves: BaseGeometry

    def read_at(self, place: Point) -> tuple[Manager, str]:
        """Return manager and parcel at a place."""
        if self.road_strip.contains(place):
            return ROADS_OFFICE, ROADS_OFFICE.parcels[0]
        if self.reserves.contains(place):
            return WARDENS, WARDENS.parcels[0]
        away = ((self.centres_m - np.array([place.x, place.y])) ** 2).sum(axis=1)
        return self.parcels[int(away.argmin())]


def make_owners(road_strip: BaseGeometry, reserves: BaseGeometry) -> Owners:
    """Return a register in which the parcels of one manager lie together."""
    random = chance("parcels")
    parcels = [(manager, parcel) for manager in OWNERS for parcel in manager.parcels]
    corner = np.array([DISTRICTS_WEST_M, DISTRICTS_SOUTH_M])
    span = np.array([DISTRICTS_EAST_M, DISTRICTS_NORTH_M]) - corner
    free = [corner + span * random.random(2)]
    while len(free) < len(parcels):
        tries = corner + span * random.random((30, 2))
        gaps = ((tries[:, None, :] - np.array(free)[None, :, :]) ** 2).sum(axis=2).min(axis=1)
        free.append(tries[int(gaps.argmax())])
    taken: list[Floats] = []
    for number, (manager, _) in enumerate(parcels):
        is_next = number > 0 and parcels[number - 1][0] is manager
        anchor = taken[-1] if is_next else corner
        away = [float(((place - anchor) ** 2).sum()) for place in free]
        taken.append(free.pop(int(np.argmin(away))))
    return Owners(settle(np.array(taken), 1), parcels, road_strip, reserves)
