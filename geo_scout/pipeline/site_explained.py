"""Everything that can be said of one site, from its layers to its rank, in the order of the work."""

from collections.abc import Mapping
from pathlib import Path

from geo_scout.criteria import describe_measure
from geo_scout.errors import UnknownSite
from geo_scout.evidence import host_around_parts, presence_steps
from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.model.site_windows import HeatTrace
from geo_scout.pipeline.season_run import run, terrain_asked
from geo_scout.pipeline.site_times import ROLE_ORDER
from geo_scout.ranking import (
    explain_around,
    explain_dominance,
    explain_patch,
    explain_presence,
    explain_ranking,
    explain_records,
    explain_robustness,
    explain_supply,
    explain_visit,
    explain_windows,
)
from geo_scout.timing import at_patches, heat_trace
from geo_scout.zones import climate_lines, climate_variables, read_ground_lines


def explain(season_file: str | Path, site_id: str) -> str:
    """Return the chain from layer values to rank for one site, in every ranking it is in.

    Parameters
    ----------
    season_file
        The season file.
    site_id
        The site, as in the tables.

    Raises
    ------
    UnknownSite
        The season has no such site.
    """
    return explain_result(run(season_file, write=False), site_id)


def explain_result(result: SeasonResult, site_id: str) -> str:
    """Return the chain from layer values to rank for one site of a result."""
    host = next((host for host, sites in result.sites.items() if site_id in sites.site_ids), None)
    if host is None:
        raise UnknownSite(_unknown(result, site_id))
    index = result.sites[host].site_ids.index(site_id)
    texts = [explain_patch(result.sites[host], index), _ground(result, host, index)]
    for agent in result.season.agents:
        if agent.host == host:
            texts += _of_agent(result, agent, site_id, index)
    return "\n\n".join(text for text in texts if text)


def _of_agent(result: SeasonResult, agent: AgentProfile, site_id: str, index: int) -> list[str]:
    season, sites = result.season, result.sites[agent.host]
    rankings = [result.ranking(agent.name, role) for role in ROLE_ORDER]
    evidence = result.evidence[agent.name]
    texts = [explain_records(evidence, rankings, index)]
    steps = presence_steps(sites, result.layers, season, agent, evidence, site_id)
    texts += [explain_presence(evidence, index, steps), explain_supply(evidence, agent, index)]
    texts.append(explain_visit(result.scouting, agent.name, site_id))
    if result.zones is not None:
        variables = climate_variables(agent, season)
        texts.append("\n".join(climate_lines(result.zones, sites, index, variables)))
    years = season.rules.horizon_years
    parts = host_around_parts(sites.patches, agent.spread, years, index)
    texts.append(explain_around(sites, index, parts, agent.spread, years))
    for one in rankings:
        texts.append(explain_ranking(one, site_id, _measures_in_words(one, index)))
        texts.append(explain_robustness(one, site_id))
        texts.append(explain_dominance(one, sites.site_ids, site_id))
    windows = {role: result.windows[agent.name, role] for role in ROLE_ORDER}
    return [*texts, explain_windows(agent, windows, index, _traces(result, agent, index))]


def _ground(result: SeasonResult, host: str, index: int) -> str:
    if result.zones is None:
        return ""
    asked, elevation = terrain_asked(result.season), result.layers.rasters.get("elevation")
    return "\n".join(read_ground_lines(result.zones, result.sites[host], index, elevation, asked))


def _traces(result: SeasonResult, agent: AgentProfile, index: int) -> Mapping[Role, HeatTrace | None]:
    if result.zones is None:
        return {}
    climate = result.season.settings.climate
    here = at_patches(result.sites[agent.host], result.zones, result.layers, climate)
    traces: dict[Role, HeatTrace | None] = {}
    for role in ROLE_ORDER:
        heat = (agent.timing.collecting if role == "source" else agent.timing.receptive).heat
        windows = result.windows[agent.name, role]
        traces[role] = None if heat is None else heat_trace(heat, here, windows, index)
    return traces


def _measures_in_words(ranking: Ranking, index: int) -> dict[str, str]:
    return {name: describe_measure(name, measure, index) for name, measure in ranking.measures.items()}


def _unknown(result: SeasonResult, site_id: str) -> str:
    known = [one for sites in result.sites.values() for one in sites.site_ids]
    folded = site_id.casefold()
    near = [one for one in known if one.casefold() == folded] or [
        one for one in known if folded in one.casefold()
    ]
    hint = f"did you mean {', '.join(near[:3])}?" if near else f"sites look like {', '.join(known[:3])}."
    return f"there is no site {site_id!r} in this season.\n  Fix: {hint}"
