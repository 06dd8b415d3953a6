"""What happened in each place, in the order it counts: losses, releases, visits."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.evidence.losses import Losses
from geo_scout.evidence.places import Places, place_of_releases, place_of_visits, stated_uncertainty_m
from geo_scout.evidence.signs import BEST, LOW, Sightings
from geo_scout.model.agent import AgentProfile

CIRCLE_SEGMENTS = 32


class Kind(IntEnum):
    """What happened, in the order of one day."""

    LOSS = 0
    RELEASE = 1
    NOT_FOUND = 2
    FOUND = 3


@dataclass(frozen=True)
class Happenings:
    """What happened, sorted by place and day.

    Parameters
    ----------
    place
        (k,) number of the place.
    day
        (k,) its day.
    kind
        (k,) a `Kind`.
    share
        (k, 3) for the lowest, best and highest chance that comes of it: the prior of a release, the chance
        of finding of a visit (nan changes nothing); 0 of a loss [share].
    wrong
        (k, 3) in the same way, chance that a find is a mistake [share].
    row
        (k,) row of the release, visit or loss.
    """

    place: NDArray[np.intp]
    day: NDArray[np.datetime64]
    kind: NDArray[np.int64]
    share: NDArray[np.float64]
    wrong: NDArray[np.float64]
    row: NDArray[np.intp]

    @property
    def year(self) -> NDArray[np.int64]:
        """Calendar year of each."""
        return self.day.astype("datetime64[Y]").astype(np.int64) + 1970

    def only(self, keep: NDArray[np.bool_] | NDArray[np.intp] | slice) -> "Happenings":
        """Return some of them, or all in another order."""
        return Happenings(
            self.place[keep],
            self.day[keep],
            self.kind[keep],
            self.share[keep],
            self.wrong[keep],
            self.row[keep],
        )

    def starts(self, places: int) -> NDArray[np.datetime64]:
        """Return the day of the first release or find of each place; NaT without either."""
        first = np.full(places, np.datetime64("NaT", "D"))
        begins = np.flatnonzero((self.kind == Kind.RELEASE) | (self.kind == Kind.FOUND))[::-1]
        first[self.place[begins]] = self.day[begins]
        return first

    def ends(self, places: int) -> NDArray[np.datetime64]:
        """Return the day of the loss of each place that nothing released or found came after; NaT none."""
        last = np.full(places, -1, dtype=np.intp)
        counts = np.flatnonzero(self.kind != Kind.NOT_FOUND)
        last[self.place[counts]] = counts
        ended = np.full(places, np.datetime64("NaT", "D"))
        lost = np.flatnonzero(last >= 0)
        lost = lost[self.kind[last[lost]] == Kind.LOSS]
        ended[lost] = self.day[last[lost]]
        return ended

    def turns(self) -> Iterator[tuple[int, NDArray[np.intp]]]:
        """Yield each year with happenings that touch every place at most once, one after the other."""
        year = self.year
        is_new = np.r_[True, (np.diff(self.place) != 0) | (np.diff(year) != 0)][: len(year)]
        begin = np.maximum.accumulate(np.where(is_new, np.arange(len(year)), 0))
        turn = np.arange(len(year)) - begin
        order = np.lexsort((self.place, turn, year))
        edges = np.flatnonzero(
            np.r_[True, np.diff(year[order]) != 0] | np.r_[True, np.diff(turn[order]) != 0]
        )
        for group in np.split(order, edges[1:]) if len(order) else ():
            yield int(year[group[0]]), group


def gather_happenings(
    places: Places,
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    sightings: Sightings,
    losses: Losses,
    agent: AgentProfile,
) -> Happenings:
    """Return what happened in the places, in the order it counts.

    Parameters
    ----------
    places
        The places.
    releases, visits
        Records of one agent with ``site_id``.
    sightings
        What the visits could see.
    losses
        What ended populations.
    agent
        The agent's profile.

    Notes
    -----
    A find whose chance of finding is 0 or not known counts as one that was sure to see the agent: somebody
    saw it. A find so soon after a release that it may be of the very agents released changes nothing. Visits
    outside every patch that found nothing, where no release or find is on record, are left out, and so are
    visits dated before the release they name.
    """
    number = pd.Index(places.place_id)
    release_place = number.get_indexer(pd.Index(place_of_releases(releases)))
    visit_place = number.get_indexer(pd.Index(place_of_visits(visits)))
    visit_place = np.where(sightings.is_misdated, -1, visit_place)
    found = visits["found"].to_numpy(dtype=bool)
    share, wrong = _of_visits(sightings, found)
    nothing = np.zeros((len(losses.place), 3))
    tables = (
        (losses.place, losses.day, np.full(len(losses.place), Kind.LOSS), nothing, nothing),
        (
            release_place,
            releases["date"].to_numpy(),
            np.full(len(releases), Kind.RELEASE),
            _priors(places, releases, release_place, agent),
            np.zeros((len(releases), 3)),
        ),
        (visit_place, visits["date"].to_numpy(), np.where(found, Kind.FOUND, Kind.NOT_FOUND), share, wrong),
    )
    place, day, kind, share, wrong = (np.concatenate(one) for one in zip(*tables, strict=True))
    row = np.concatenate([np.arange(len(table[0])) for table in tables])
    day = day.astype("datetime64[D]")
    order = np.lexsort((wrong[:, BEST], np.nan_to_num(share[:, BEST], nan=-1.0), kind, day, place))
    order = order[(place[order] >= 0) & ~np.isnat(day[order])]
    happened = Happenings(
        place.astype(np.intp), day, kind.astype(np.int64), share, wrong, row.astype(np.intp)
    )
    return happened.only(order)


def _of_visits(
    sightings: Sightings, found: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return what makes the lowest, best and highest chance: the highest chance of finding lowers most."""
    share = np.where(found[:, np.newaxis], sightings.found_share, sightings.found_share[:, ::-1])
    is_unexplained = found & ~(sightings.found_share[:, BEST] > 0)
    share[is_unexplained] = 1.0
    share[found & sightings.is_too_young] = 0.0
    return share, sightings.wrong_share[:, ::-1]


def _priors(
    places: Places, releases: gpd.GeoDataFrame, place: NDArray[np.intp], agent: AgentProfile
) -> NDArray[np.float64]:
    """Return the prior of each release; the lowest only as far as it surely lies in the patch."""
    stated = np.array(agent.establishment.prior_share.low_best_high)
    priors = np.tile(stated, (len(releases), 1))
    in_patch = np.flatnonzero((place >= 0) & (place < places.patches))
    points = releases.geometry.to_numpy()[in_patch]
    inside = inside_share(points, stated_uncertainty_m(releases)[in_patch], places.shapes[place[in_patch]])
    priors[in_patch, LOW] *= inside
    return priors


def inside_share(
    points: NDArray[np.object_], radius_m: NDArray[np.float64], shapes: NDArray[np.object_]
) -> NDArray[np.float64]:
    """Return the share of the circle around each point that lies in its shape [share].

    Parameters
    ----------
    points, radius_m
        Middles and radii of the circles, (n,) [m].
    shapes
        (n,) polygons.
    """
    share = np.zeros(len(points))
    inside = shapely.intersects(shapes, points)
    wholly = inside & (shapely.distance(points, shapely.boundary(shapes)) >= radius_m)
    share[wholly] = 1.0
    rest = ~wholly
    circles = shapely.buffer(points[rest], radius_m[rest], quad_segs=CIRCLE_SEGMENTS)
    share[rest] = shapely.area(shapely.intersection(circles, shapes[rest])) / shapely.area(circles)
    return np.minimum(share, 1.0)
