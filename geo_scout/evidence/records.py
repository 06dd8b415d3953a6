"""Release and visit records of one agent, held against the patches of its host."""

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.eras import count_losses
from geo_scout.evidence.gaps import cross_gaps
from geo_scout.evidence.histories import tell_histories, tell_silence
from geo_scout.evidence.host_around import host_around_range
from geo_scout.evidence.places import place_of_releases, place_of_visits
from geo_scout.evidence.placing import at_their_releases, place_records
from geo_scout.evidence.populations import confirm_finds, gather_populations
from geo_scout.evidence.presence import Grounds, estimate_presence, lay_grounds
from geo_scout.evidence.rates import districts_of, rate_outcomes
from geo_scout.evidence.signs import Sightings
from geo_scout.evidence.silent_visits import report_silent_visits
from geo_scout.evidence.states import STATE_COLUMNS, name_states, without_records
from geo_scout.evidence.supply import measure_supply
from geo_scout.evidence.wishes import purposes, unplaced_requests
from geo_scout.formulas.geodesy import nearest_edge
from geo_scout.model.agent import AgentProfile
from geo_scout.model.evidence import OUTCOMES, Evidence
from geo_scout.model.layers import LayerSet
from geo_scout.model.plane import plane_of
from geo_scout.model.rows import join_texts
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites


def gather_evidence(sites: Sites, layers: LayerSet, season: Season, agent: AgentProfile) -> Evidence:
    """Return what the records say of one agent, per release, per population and per patch.

    Parameters
    ----------
    sites
        Patches of the agent's host.
    layers
        Releases, visits and requests in the working CRS.
    season
        Rules and the clock.
    agent
        The agent's profile.

    Notes
    -----
    A record belongs to the nearest patch within the uncertainty of its position. A find confirms a
    population when it comes ``years_to_confirm`` after the first release there; a find on ground
    with no known release confirms at once. A release nobody visited stays a possibility. What is lost
    (`evidence.states`) is no population to keep away from or to collect at.
    """
    patches, boundaries = sites.patches, layers.vectors.get("boundaries")
    requests = layers.vectors.get("requests")
    releases, visits, grounds = placed_records(sites, layers, season, agent)
    states = _states(releases, visits, grounds, layers, season, agent)
    populations = gather_populations(visits, releases, patches)
    is_lost = (states["state"] == "lost").reindex(populations["population_id"]).to_numpy(dtype=bool)
    populations["is_lost"] |= is_lost
    living = populations[~populations["is_lost"]].reset_index(drop=True)
    table = _per_patch(patches, releases, visits, living)
    around = host_around_range(patches, agent.spread, season.rules.horizon_years)
    table = table.assign(
        **{name: states[name].to_numpy()[: len(patches)] for name in STATE_COLUMNS},
        **purposes(requests, patches, agent.name, season.rules.join_m)[["request_ids", "purpose"]],
        gap_crossed=cross_gaps(table["population_distance_km"].to_numpy(), agent.spread),
        host_around_ha=around[:, 1],
        host_around_low_ha=around[:, 0],
        host_around_high_ha=around[:, 2],
    )
    of_place = states.reindex(releases["place_id"])
    releases = releases.assign(**{name: of_place[name].to_numpy() for name in STATE_COLUMNS})
    releases = tell_histories(releases, patches, boundaries, grounds.places, grounds.losses)
    visits = tell_silence(visits, grounds.sightings)
    visits = visits.assign(district=districts_of(visits, patches, boundaries))
    return Evidence(
        agent.name,
        releases.drop(columns=["era", "is_current"]),
        visits.drop(columns=["era", "is_current"]),
        populations,
        table,
        findings=(
            *unplaced_requests(requests, patches, agent.name, season.rules.join_m),
            *report_silent_visits(visits, grounds.sightings, agent),
        ),
        supply=measure_supply(patches, visits[visits["is_current"]], season, agent),
        rates=rate_outcomes(releases, visits, grounds.sightings),
    )


def placed_records(
    sites: Sites, layers: LayerSet, season: Season, agent: AgentProfile
) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame, Grounds]:
    """Return releases and visits with their places, eras and outcomes, and what their places hold.

    Parameters
    ----------
    sites, layers, season, agent
        As in `gather_evidence`.

    Returns
    -------
    releases, visits : geopandas.GeoDataFrame
        Those of the agent with ``site_id``, ``era`` and ``is_current``; visits with ``confirms``, releases
        with ``outcome`` and ``place_id``.
    grounds : Grounds
        What the chances rest on.
    """
    return lay_records(*place_all(sites, layers, agent), sites, layers, season, agent)


def place_all(
    sites: Sites, layers: LayerSet, agent: AgentProfile
) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame]:
    """Return the releases and visits of one agent with ``site_id``, "" outside every patch."""
    releases = place_records(_of_agent(layers.vectors.get("releases"), agent.name, layers), sites.patches)
    visits = place_records(_of_agent(layers.vectors.get("visits"), agent.name, layers), sites.patches)
    return releases, at_their_releases(visits, releases)


def lay_records(
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    sites: Sites,
    layers: LayerSet,
    season: Season,
    agent: AgentProfile,
) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame, Grounds]:
    """Return what `placed_records` does of releases and visits that have their ``site_id``."""
    grounds = lay_grounds(sites, layers, season, agent, releases, visits)
    releases = _with_era(releases, place_of_releases(releases), grounds)
    visits = _with_era(visits, place_of_visits(visits), grounds)
    is_void = grounds.sightings.is_void
    visits = confirm_finds(visits, releases, agent.establishment.years_to_confirm, is_void)
    releases = _with_outcome(releases, visits, grounds.sightings).assign(place_id=place_of_releases(releases))
    return releases, visits, grounds


def _states(
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    grounds: Grounds,
    layers: LayerSet,
    season: Season,
    agent: AgentProfile,
) -> pd.DataFrame:
    """Return the state of each place; of none where the season has no records at all."""
    as_of, rule = np.datetime64(season.as_of, "D"), season.settings.records
    states = name_states(grounds, *estimate_presence(grounds), releases, visits, agent, rule, as_of)
    has_records = "releases" in layers.vectors or "visits" in layers.vectors
    return states if has_records else without_records(states)


def _of_agent(frame: gpd.GeoDataFrame | None, agent: str, layers: LayerSet) -> gpd.GeoDataFrame | None:
    if frame is None:
        return None
    return frame[frame["agent"] == agent].reset_index(drop=True).to_crs(layers.crs)


def _with_era(records: gpd.GeoDataFrame, place_id: NDArray[np.object_], grounds: Grounds) -> gpd.GeoDataFrame:
    """Return records with ``era`` and ``is_current``: before or after what lived there was destroyed."""
    day = records["date"].to_numpy()
    era, is_current = count_losses(place_id, day, grounds.places, grounds.losses)
    return records.assign(era=era, is_current=is_current)


def _with_outcome(
    releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame, sightings: Sightings
) -> gpd.GeoDataFrame:
    """Return the releases with the most that a visit linked to them says, in the order of `OUTCOMES`."""
    words = _outcome_of_each(visits, sightings)
    told = pd.Index(OUTCOMES).get_indexer(pd.Index(words))
    visits = visits.assign(found=words == "found", told=told)
    linked = visits[visits["release_id"] != ""].groupby("release_id")
    told = linked["told"].max().reindex(releases["release_id"], fill_value=0).to_numpy(dtype=np.intp)
    outcome = np.array(OUTCOMES, dtype=object)[told]
    finds = visits[visits["found"]].groupby("release_id")["date"].max().dt.year
    return releases.assign(
        outcome=outcome,
        visits=linked.size().reindex(releases["release_id"], fill_value=0).to_numpy(),
        last_visit=linked["date"].max().reindex(releases["release_id"]).to_numpy(),
        year_found=finds.reindex(releases["release_id"]).to_numpy(dtype=float),
    )


def _outcome_of_each(visits: gpd.GeoDataFrame, sightings: Sightings) -> NDArray[np.object_]:
    """Return what each visit says of its release by itself, one of `OUTCOMES`."""
    seen, is_void = visits["found"].to_numpy(dtype=bool), sightings.is_void
    words = np.select(
        [seen & ~is_void, seen, sightings.is_misdated],
        ["found", "found too early", "not visited"],
        "not found",
    )
    return np.asarray(words, dtype=object)


def _per_patch(
    patches: gpd.GeoDataFrame,
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    populations: gpd.GeoDataFrame,
) -> pd.DataFrame:
    site_ids = pd.Index(patches["site_id"])
    nearest, distance_km = nearest_edge(
        patches.geometry.to_numpy(), populations.geometry.to_numpy(), plane_of(patches)
    )
    own = populations[populations["site_id"] != ""].set_index("site_id").reindex(site_ids)
    inside = releases[releases["site_id"] != ""]
    current = inside[inside["is_current"]]
    table = pd.DataFrame({"site_id": site_ids})
    table["population_id"] = _named(populations["population_id"], nearest)
    table["population_name"] = _named(populations["name"], nearest)
    table["population_distance_km"] = distance_km
    table["confirmed"] = own["population_id"].notna().to_numpy()
    table["confirmed_year"] = own["last_found"].dt.year.to_numpy(dtype=float)
    table["confirmed_by"] = own["found_by"].fillna("").to_numpy(dtype=object)
    table["latest_result"] = _latest_result(visits[visits["is_current"]], site_ids)
    inside_visits = visits[visits["site_id"] != ""]
    table["last_visit"] = inside_visits.groupby("site_id")["date"].max().reindex(site_ids).to_numpy()
    table["release_ids"] = _ids(inside, site_ids)
    table["unvisited_release_ids"] = _ids(_unvisited(current, visits), site_ids)
    table["first_release"] = current.groupby("site_id")["date"].min().reindex(site_ids).to_numpy()
    table["latest_release"] = current.groupby("site_id")["date"].max().reindex(site_ids).to_numpy()
    return table


def _named(names: pd.Series, index: "np.ndarray[tuple[int], np.dtype[np.intp]]") -> list[str]:
    return list(np.append(names.to_numpy(dtype=object), "")[index])


def _ids(releases: gpd.GeoDataFrame, site_ids: pd.Index) -> list[str]:
    by_day = releases[["site_id", "date", "release_id"]].sort_values(["date", "release_id"])
    joined = join_texts(by_day["release_id"], by_day["site_id"])
    return list(joined.reindex(site_ids, fill_value=""))


def _unvisited(releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return the releases that no visit names, in patches where nobody has been since."""
    last = visits[visits["site_id"] != ""].groupby("site_id")["date"].max()
    seen_since = last.reindex(releases["site_id"]).to_numpy() >= releases["date"].to_numpy()
    return releases[~seen_since & ~releases["release_id"].isin(set(visits["release_id"]))]


def _latest_result(visits: gpd.GeoDataFrame, site_ids: pd.Index) -> list[str]:
    """Return the last visit to each patch in words; "" where nobody went.

    Of several visits on one day a find decides: who looked elsewhere in the patch does not undo it.
    """
    inside = visits[visits["site_id"] != ""].sort_values(["date", "found"], kind="stable")
    last = inside.drop_duplicates("site_id", keep="last")
    result = np.where(last["found"], "found on ", "not found on ") + last["date"].dt.strftime("%Y-%m-%d")
    return list(pd.Series(result.to_numpy(), index=last["site_id"]).reindex(site_ids, fill_value=""))
