"""Everything the page's scripts read, as one JSON value."""

import hashlib
from collections.abc import Mapping

import pandas as pd

from geo_scout.model.cautions import STANDING_CAUTIONS
from geo_scout.model.criteria import ROLES, Role
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.sites import Sites
from geo_scout.model.visible_text import printable
from geo_scout.outputs.map import places
from geo_scout.outputs.map.audience import NOTES
from geo_scout.outputs.map.base_layers import BaseLayers
from geo_scout.outputs.map.cells import cell, column
from geo_scout.outputs.map.feeding import feeding
from geo_scout.outputs.map.presence import presence
from geo_scout.outputs.map.rankings import ranking_data
from geo_scout.outputs.map.site_columns import patch_columns_of

PAYLOAD_FORMAT = 2
MOST_DRAWN_ONE_BY_ONE = 1000
"""Patches of one host that the page draws each by itself; more are packed, and drawn together."""


def build_payload(
    result: SeasonResult,
    tables: Mapping[Role, pd.DataFrame],
    audience: Audience,
    base: BaseLayers,
) -> dict[str, object]:
    """Return what the page shows, with every text made printable; of large seasons some columns are packed.

    Parameters
    ----------
    result
        The season's result.
    tables
        Rounded output table per role.
    audience
        Who will read the map.
    base
        The base layers the map has.
    """
    season = result.season
    agents = [agent.name for agent in season.agents]
    is_large = any(len(sites) > MOST_DRAWN_ONE_BY_ONE for sites in result.sites.values())
    return {
        "format": PAYLOAD_FORMAT,
        "dataset": _dataset(result),
        "is_large": is_large,
        "title": cell(season.settings.season.title),
        "as_of": season.as_of.isoformat(),
        "start": cell(season.settings.season.start),
        "end": cell(season.settings.season.end),
        "audience": audience,
        "audience_note": NOTES[audience],
        "top_n": season.settings.ranking.top_n,
        "questions": column(question.text() for question in result.questions),
        "cautions": list(STANDING_CAUTIONS),
        **base.data(),
        "agents": [{"name": cell(agent.name), "host": cell(agent.host)} for agent in season.agents],
        "patches": [
            places.patches(sites)
            if not is_large
            else _large_patches(result, sites, tables["release"], audience)
            for sites in result.sites.values()
        ],
        "rankings": [
            ranking_data(result, result.ranking(agent, role), tables[role], audience, is_large=is_large)
            for agent in agents
            for role in ROLES
        ],
        "records": [places.records(result, agent, audience) for agent in agents],
        "presence": [presence(result, agent, audience) for agent in agents],
        "requests": [places.requests(result, agent, audience) for agent in agents],
        "feeding": [feeding(result, agent) for agent in agents],
        "travel_km_per_hour": season.settings.scouting.travel_km_per_hour,
        "crews": {} if audience == "public" else places.crews(result),
        "districts": places.districts(result),
        "places": places.named_places(result, audience),
        "findings": {} if audience == "public" else places.findings(result),
    }


def _dataset(result: SeasonResult) -> str:
    """Return a name for the season, under which the page keeps notes: a later run of it finds them again."""
    season = result.season
    told = season.settings.season
    parts = [told.title, str(told.start), str(told.end), *(f"{a.name}/{a.host}" for a in season.agents)]
    return hashlib.sha256("\0".join(parts).encode("utf-8", "replace")).hexdigest()[:16]


def _large_patches(
    result: SeasonResult, sites: Sites, table: pd.DataFrame, audience: Audience
) -> dict[str, object]:
    """Return the packed outlines of one host's patches, and what is the same of them in every ranking."""
    agent = next(profile.name for profile in result.season.agents if profile.host == sites.host)
    rows = table[table["agent"] == printable(agent)]
    return {
        **places.packed_patches(sites),
        "of_patch": patch_columns_of(rows, sites.patches["site_id"], audience),
    }
