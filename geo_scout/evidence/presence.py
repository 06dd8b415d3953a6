"""The chance that an agent lives in each place, from releases, visits, losses and spread."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.arrivals import Origins, measure_hazards, year_ends
from geo_scout.evidence.course import Course, Tell, follow
from geo_scout.evidence.happenings import Happenings, Kind, gather_happenings
from geo_scout.evidence.losses import Losses, find_losses
from geo_scout.evidence.places import Places, list_places, place_of_releases, place_of_visits
from geo_scout.evidence.signs import Sightings, judge_visits
from geo_scout.model.agent import AgentProfile, Spread
from geo_scout.model.layers import LayerSet
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites

HAZARDS_AT_ONCE = 20_000_000
"""Most chances of arrival, places x years x 3, that are held at once."""


@dataclass(frozen=True)
class Grounds:
    """All that the chances rest on.

    Parameters
    ----------
    places, happenings, sightings, losses
        Where, what happened there, what visits could see, what ended populations.
    origins
        Where the agent may come from, with the chance that it ever took there.
    years
        Calendar years from the first release or find to ``as_of``; empty without either.
    ends
        Day up to which each year counts.
    course
        Prior, persistence, and how releases count.
    spread
        How the agent spreads.
    """

    places: Places
    happenings: Happenings
    sightings: Sightings
    losses: Losses
    origins: Origins
    years: Sequence[int]
    ends: NDArray[np.datetime64]
    course: Course
    spread: Spread


def lay_grounds(
    sites: Sites,
    layers: LayerSet,
    season: Season,
    agent: AgentProfile,
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
) -> Grounds:
    """Return all that the chances rest on.

    Parameters
    ----------
    sites
        Patches of the agent's host.
    layers
        Treatments and surveyed areas in the working CRS.
    season
        ``[records]`` and the clock.
    agent
        The agent's profile.
    releases, visits
        Its records with ``site_id``.
    """
    places = list_places(sites.patches, releases, visits)
    blank_hours = season.settings.records.blank_effort_hours
    latest, named = _latest_release(releases, visits), _named_release(releases, visits)
    sightings = judge_visits(visits, latest, named, agent, blank_hours)
    losses = find_losses(places, sites, layers, season)
    happenings = gather_happenings(places, releases, visits, sightings, losses, agent)
    started = happenings.starts(len(places.place_id))
    as_of = np.datetime64(season.as_of, "D")
    begun = started[~np.isnat(started)]
    years = range(int(str(begun.min())[:4]), season.as_of.year + 1) if len(begun) else range(0)
    persistence = agent.establishment.persistence_share
    course = Course(
        prior=np.array(agent.establishment.prior_share.low_best_high),
        persistence=np.ones(3) if persistence is None else np.array(persistence.low_best_high),
        is_independent=season.settings.records.independent_releases,
    )
    origins = _origins(places, happenings, started, years, course)
    return Grounds(
        places, happenings, sightings, losses, origins, years, year_ends(years, as_of), course, agent.spread
    )


def estimate_presence(grounds: Grounds) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lowest, best and highest chance that the agent lives in each place at ``as_of``.

    Returns
    -------
    chance, arrived : numpy.ndarray
        (places, 3) chance, 0 where no release, no find and no arrival speaks for it; and the part of it that
        came from other places [share].
    """
    return presence_at(grounds, np.arange(len(grounds.places.place_id)))


def presence_at(
    grounds: Grounds, targets: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return what `estimate_presence` does for some places alone, by their numbers in rising order."""
    happened = grounds.happenings
    at_once = max(1, HAZARDS_AT_ONCE // max(1, 3 * len(grounds.years)))
    chance, arrived = np.zeros((len(targets), 3)), np.zeros((len(targets), 3))
    for first in range(0, len(targets), at_once):
        part = targets[first : first + at_once]
        rows = slice(first, first + len(part))
        own = happened.only(np.isin(happened.place, part))
        own = replace(own, place=np.searchsorted(part, own.place))
        (chance[rows], arrived[rows]), _ = _present(grounds, part, own, None)
    return chance, arrived


def follow_place(grounds: Grounds, place: int, tell: Tell) -> NDArray[np.float64]:
    """Tell every step of the chance of one place, and return its hazards, (years, 3) [share]."""
    own = grounds.happenings.only(grounds.happenings.place == place)
    own = replace(own, place=np.zeros_like(own.place))
    return _present(grounds, np.array([place]), own, tell)[1][:, 0]


def _present(
    grounds: Grounds, targets: NDArray[np.intp], happenings: Happenings, tell: Tell | None
) -> tuple[tuple[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]:
    hazard = measure_hazards(grounds.places, targets, grounds.origins, grounds.spread, grounds.ends)
    return follow(happenings, len(targets), grounds.years, grounds.course, hazard, tell), hazard


def _origins(
    places: Places,
    happenings: Happenings,
    started: NDArray[np.datetime64],
    years: Sequence[int],
    course: Course,
) -> Origins:
    """Return where the agent may come from, with the chance of what stems from there: no loss lowers it.

    A loss ends the spread from there, not what has spread already. The years wear down what has spread as
    they wear down a population that stays where it was put; else moving a release away would make its agents
    surer.
    """
    kept = happenings.only(happenings.kind != Kind.LOSS)
    took, _ = follow(kept, len(places.place_id), years, course)
    place = np.flatnonzero(~np.isnat(started))
    ended = happenings.ends(len(places.place_id))
    return Origins(place, started[place], ended[place], took[place], places.uncertainty_m[place])


def _latest_release(releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> NDArray[np.datetime64]:
    """Return the day of the latest release in the place of each visit, up to the visit; NaT none."""
    put = pd.DataFrame({"place": place_of_releases(releases), "date": releases["date"].to_numpy()})
    seen = pd.DataFrame({"place": place_of_visits(visits), "date": visits["date"].to_numpy()})
    put["place"], seen["place"] = put["place"].astype(object), seen["place"].astype(object)
    for table in (put, seen):
        table["date"] = table["date"].astype("datetime64[s]")
    order = seen.reset_index(names="row").sort_values("date", kind="stable")
    put = put.assign(released=put["date"]).sort_values("date", kind="stable")
    latest = pd.merge_asof(order, put, on="date", by="place").sort_values("row")
    return latest["released"].to_numpy().astype("datetime64[D]")


def _named_release(releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> NDArray[np.datetime64]:
    """Return the day of the release each visit names; NaT none."""
    put = releases.drop_duplicates("release_id").set_index("release_id")["date"]
    return put.reindex(visits["release_id"]).to_numpy().astype("datetime64[D]")
