"""Everything the page's scripts read, as one JSON value."""

import hashlib
from collections.abc import Mapping

import pandas as pd

from geo_scout.model.cautions import STANDING_CAUTIONS
from geo_scout.model.criteria import ROLES, Role
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map import places
from geo_scout.outputs.map.audience import NOTES
from geo_scout.outputs.map.cells import cell, column
from geo_scout.outputs.map.presence import presence
from geo_scout.outputs.map.rankings import ranking_data

PAYLOAD_FORMAT = 2


def build_payload(
    result: SeasonResult,
    tables: Mapping[Role, pd.DataFrame],
    audience: Audience,
    base_layers: tuple[str, ...],
) -> dict[str, object]:
    """Return what the page shows, with every text made printable.

    Parameters
    ----------
    result
        The season's result.
    tables
        Rounded output table per role.
    audience
        Who will read the map.
    base_layers
        Ids of the base layers the map has.
    """
    season = result.season
    agents = [agent.name for agent in season.agents]
    return {
        "format": PAYLOAD_FORMAT,
        "dataset": _dataset(result),
        "title": cell(season.settings.season.title),
        "as_of": season.as_of.isoformat(),
        "start": cell(season.settings.season.start),
        "end": cell(season.settings.season.end),
        "audience": audience,
        "audience_note": NOTES[audience],
        "top_n": season.settings.ranking.top_n,
        "questions": column(question.text() for question in result.questions),
        "cautions": list(STANDING_CAUTIONS),
        "base_layers": list(base_layers),
        "agents": [{"name": cell(agent.name), "host": cell(agent.host)} for agent in season.agents],
        "patches": [places.patches(sites) for sites in result.sites.values()],
        "rankings": [
            ranking_data(result, result.ranking(agent, role), tables[role], audience)
            for agent in agents
            for role in ROLES
        ],
        "records": [places.records(result, agent, audience) for agent in agents],
        "presence": [presence(result, agent, audience) for agent in agents],
        "requests": [places.requests(result, agent, audience) for agent in agents],
        "crews": {} if audience == "public" else places.crews(result),
        "districts": places.districts(result),
        "findings": {} if audience == "public" else places.findings(result),
    }


def _dataset(result: SeasonResult) -> str:
    """Return a name for the season, under which the page keeps notes: a later run of it finds them again."""
    season = result.season
    told = season.settings.season
    parts = [told.title, str(told.start), str(told.end), *(f"{a.name}/{a.host}" for a in season.agents)]
    return hashlib.sha256("\0".join(parts).encode("utf-8", "replace")).hexdigest()[:16]
