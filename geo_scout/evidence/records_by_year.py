"""What the records said at the end of each year that is past, by the rules of today."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.evidence.populations import gather_populations
from geo_scout.evidence.presence import presence_at
from geo_scout.evidence.records import lay_records, place_all
from geo_scout.evidence.signs import BEST
from geo_scout.evidence.states import states_at
from geo_scout.model.agent import AgentProfile
from geo_scout.model.layers import LayerSet
from geo_scout.model.records_by_year import RecordsByYear
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites

RELEASE_SAYS = ("outcome", "state")
POPULATION_SAYS = ("first_found", "last_found", "latest_result", "release_ids")


def look_back(sites: Sites, layers: LayerSet, season: Season, agent: AgentProfile) -> RecordsByYear:
    """Return what was known of one agent's releases and populations at the end of each year.

    Parameters
    ----------
    sites, layers, season, agent
        As in `gather_evidence`.

    Notes
    -----
    Each year-end is judged as ``as_of`` is, from what is dated up to it: releases, visits, treatments and
    surveys that found no host. A visit that names a later release is hidden with it. Patches, profile and
    rules are those of today. States are worked out for the places of releases alone, and patches without any
    record are left aside: nothing can come from there, so that many patches cost little.
    """
    releases, visits = place_all(sites, layers, agent)
    has_records = sites.patches["site_id"].isin({*releases["site_id"], *visits["site_id"]})
    sites = replace(sites, patches=sites.patches[has_records].reset_index(drop=True))
    years = _years(releases, visits, season)
    told = [_at_the_end_of(year, releases, visits, sites, layers, season, agent) for year in years]
    of_releases, of_populations = ([one[kind] for one in told] for kind in (0, 1))
    return RecordsByYear(
        years,
        _news(of_releases, "release_id", RELEASE_SAYS),
        _news(of_populations, "population_id", POPULATION_SAYS),
    )


def _years(releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame, season: Season) -> range:
    begun = [*releases["date"], *visits.loc[visits["found"].to_numpy(dtype=bool), "date"]]
    first = min((day.year for day in begun), default=season.as_of.year)
    return range(first, season.as_of.year)


def _at_the_end_of(
    year: int,
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    sites: Sites,
    layers: LayerSet,
    season: Season,
    agent: AgentProfile,
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Return what releases and populations said, with ``year``."""
    then = replace(season, as_of=dt.date(year, 12, 31))
    releases, visits = _known(releases, visits, year)
    releases, visits, grounds = lay_records(releases, visits, sites, layers, then, agent)
    places = pd.Index(grounds.places.place_id).get_indexer(pd.Index(releases["place_id"])).astype(np.intp)
    targets = np.unique(places)
    best = presence_at(grounds, targets)[0][:, BEST]
    rule, day = season.settings.records, np.datetime64(then.as_of, "D")
    states = states_at(grounds, targets, best, releases, visits, agent, rule, day)
    # What was destroyed after a release is its end, whatever was put or found there since.
    is_current = releases["is_current"].to_numpy(dtype=bool)
    state = np.where(is_current, states.reindex(releases["place_id"]).to_numpy(dtype=object), "lost")
    populations = gather_populations(visits, releases, sites.patches)
    return (
        pd.DataFrame(releases[["release_id", "outcome"]]).assign(state=state, year=year),
        pd.DataFrame(populations[["population_id", *POPULATION_SAYS]]).assign(year=year),
    )


def _known(
    releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame, year: int
) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame]:
    is_later = visits["release_id"].isin(releases.loc[releases["date"].dt.year > year, "release_id"])
    put = releases[releases["date"].dt.year <= year]
    seen = visits[(visits["date"].dt.year <= year) & ~is_later]
    return put.reset_index(drop=True), seen.reset_index(drop=True)


def _news(told: Sequence[pd.DataFrame], name: str, says: Sequence[str]) -> pd.DataFrame:
    """Return the rows that say something else than the year before, by year."""
    if not told:
        return pd.DataFrame({column: [] for column in (name, "year", *says)})
    table = pd.concat(told, ignore_index=True)[[name, "year", *says]]
    before = table.groupby(name, sort=False)[list(says)].shift()
    is_first = ~table[name].duplicated()
    return table[is_first | (table[list(says)] != before).any(axis=1)].reset_index(drop=True)
