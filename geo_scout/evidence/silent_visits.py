"""Findings about visits that say less than their observers hoped."""

import geopandas as gpd
import numpy as np

from geo_scout.evidence.signs import NO_EFFORT, NO_SIGN, Sightings
from geo_scout.model.agent import AgentProfile
from geo_scout.model.finding import Finding
from geo_scout.model.listed import listed
from geo_scout.model.rows import each_row

_FIXES = {
    NO_SIGN: "Give the profile a [[signs]] table with this method, or correct the method of the visits.",
    NO_EFFORT: "Fill effort_hours, or set [records] blank_effort_hours to what such a visit usually took.",
}

MOST_NAMED = 3


def report_silent_visits(
    visits: gpd.GeoDataFrame, sightings: Sightings, agent: AgentProfile
) -> list[Finding]:
    """Return findings: visits in vain that change nothing, and finds outside the season of what was seen.

    Parameters
    ----------
    visits
        Visits of one agent.
    sightings
        What they could see.
    agent
        The agent's profile.
    """
    found = visits["found"].to_numpy(dtype=bool)
    noticed = [
        Finding(
            code="visits-without-weight",
            grade="note",
            layer="visits",
            feature="",
            what=f"{count} of {int((~found).sum())} visits that did not find {agent.name} "
            f"{'changes' if count == 1 else 'change'} nothing: "
            f"{why if why != NO_SIGN else 'no sign of the profile has ' + _methods(visits[is_meant])}.",
            fix=fix,
        )
        for why, fix in _FIXES.items()
        if (count := int((is_meant := (sightings.silent == why) & ~found).sum()))
    ]
    return noticed + _out_of_season(visits[found & sightings.is_out_of_season], sightings, agent, found)


def _methods(visits: gpd.GeoDataFrame) -> str:
    """Return the methods of some visits, the most frequent first, with the first of the visits of each."""
    by_method = visits.groupby(visits["method"].astype(str), sort=True)["visit_id"].agg(list)
    by_method = by_method.iloc[np.argsort(-by_method.map(len).to_numpy(), kind="stable")]
    told = [
        f"{repr(str(method)) if str(method).strip() else 'a blank method'} ({listed(names, MOST_NAMED)})"
        for method, names in by_method.items()
    ]
    return listed(told, MOST_NAMED)


def _out_of_season(
    finds: gpd.GeoDataFrame, sightings: Sightings, agent: AgentProfile, found: np.ndarray
) -> list[Finding]:
    if len(finds) == 0:
        return []
    numbers = sightings.sign[found & sightings.is_out_of_season]
    places = finds.to_crs(4326).geometry
    return [
        Finding(
            code="find-out-of-season",
            grade="caution",
            layer="visits",
            feature=find.visit_id,
            what=f"{agent.signs[number].name} found on {find.date:%Y-%m-%d}, outside "
            f"{agent.signs[number].first_day} to {agent.signs[number].last_day}; the find still counts.",
            fix="Correct the date, or first_day and last_day of the sign in the profile.",
            longitude_deg=longitude_deg,
            latitude_deg=latitude_deg,
        )
        for find, number, longitude_deg, latitude_deg in zip(
            each_row(finds), numbers.tolist(), places.x, places.y, strict=True
        )
    ]
