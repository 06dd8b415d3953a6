"""The table of contents: what happens in what order, and nothing else."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from geo_scout.criteria import describe_measure, measure_all
from geo_scout.errors import InputMistakes, UnknownSite
from geo_scout.exclusions import book_of, exclude_all, exclude_too_close
from geo_scout.layers import read_layers
from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.finding import Finding
from geo_scout.model.layers import LayerSet
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import Audience, LegalQuestion, SeasonResult
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.outputs import RunLog, write_outputs
from geo_scout.ranking import (
    best_first,
    explain_patch,
    explain_ranking,
    explain_records,
    rank_sites,
    score_sites,
)
from geo_scout.season import read_season
from geo_scout.sites import find_patches, gather_evidence
from geo_scout.zones import collect_quantities, place_zones, read_relief, read_zones

# Sources first: a coordinator asks where the agents come from before where they go.
ROLE_ORDER: tuple[Role, ...] = ("source", "release")


@dataclass(frozen=True)
class CheckResult:
    """What reading a season noticed."""

    season: Season
    findings: tuple[Finding, ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Findings that make a layer untrue."""
        return tuple(finding for finding in self.findings if finding.grade == "stop")


def check(season_file: str | Path) -> CheckResult:
    """Return what a season's layers look like, without ranking or writing anything.

    Parameters
    ----------
    season_file
        The season file.

    Raises
    ------
    InputMistakes
        The season file or a profile is wrong; every mistake at once.
    """
    season = read_season(season_file)
    return CheckResult(season, read_layers(season).findings)


def run(
    season_file: str | Path,
    *,
    outputs: str | Path | None = None,
    audience: Audience = "crew",
    write: bool = True,
    listen: Callable[[str], None] = lambda _: None,
) -> SeasonResult:
    """Rank the season's sources and release sites, and write the outputs.

    Parameters
    ----------
    season_file
        The season file.
    outputs
        Outputs folder; the season's own otherwise.
    audience
        Who the outputs are for: ``crew``, ``board`` or ``public``.
    write
        False keeps the result in memory only.
    listen
        Called with the name of each step as it starts.

    Raises
    ------
    InputMistakes
        The season, a profile or a layer is wrong; nothing is written.
    OutputsBlocked
        The outputs cannot be written; earlier outputs are untouched.
    """
    log = RunLog(listen)
    with log.step("reading the season"):
        season = read_season(season_file)
    with log.step("reading layers"):
        layers = _usable(read_layers(season))
    with log.step("finding patches"):
        sites = {host: find_patches(layers, season, host) for host in season.hosts}
    with log.step("weighing records"):
        evidence = {a.name: gather_evidence(sites[a.host], layers, season, a) for a in season.agents}
    with log.step("reading rasters"):
        zones = read_zones(layers.rasters, place_zones(sites, evidence, layers, season))
        relief = read_relief(layers)
    with log.step("ranking"):
        ranked = [
            rank_agent(season, agent, role, sites[agent.host], evidence[agent.name], zones)
            for agent in season.agents
            for role in ROLE_ORDER
        ]
    found = tuple(finding for one in sites.values() for finding in one.findings)
    result = SeasonResult(
        season=season,
        layers=layers,
        sites=sites,
        evidence=evidence,
        rankings=tuple(ranking for ranking, _ in ranked),
        exclusions=tuple(exclusion for _, exclusions in ranked for exclusion in exclusions),
        questions=ask_about_law(season, sites),
        findings=layers.findings + found,
        relief=relief,
    )
    if write:
        folder = Path(outputs) if outputs else season.file_of(season.settings.season.outputs)
        with log.step("writing outputs"):
            write_outputs(result, folder, audience, log)
        result = replace(result, outputs=folder)
    return result


def rank_agent(
    season: Season, agent: AgentProfile, role: Role, sites: Sites, evidence: Evidence, zones: ZoneTable
) -> tuple[Ranking, list[Exclusion]]:
    """Return one ranking of one agent with the reasons for the sites left out."""
    criteria = season.settings.criteria.of(role)
    measures = measure_all(criteria, collect_quantities(agent, season, sites, evidence, zones))
    scored = score_sites(criteria, measures)
    book = book_of(agent, role, season, sites, evidence, zones)
    exclusions = exclude_all(book)
    out = {exclusion.site_id for exclusion in exclusions}
    left = [site_id for site_id in best_first(scored.score, sites.site_ids) if site_id not in out]
    exclusions += exclude_too_close(book, left)
    ranking = rank_sites(agent, role, season, sites, evidence, measures, scored, exclusions, book.climate)
    return ranking, exclusions


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
    sites = result.sites[host]
    index = sites.site_ids.index(site_id)
    texts = [explain_patch(sites, index)]
    for agent in result.season.agents:
        if agent.host == host:
            rankings = [result.ranking(agent.name, role) for role in ROLE_ORDER]
            texts.append(explain_records(result.evidence[agent.name], rankings, index))
            texts += [explain_ranking(one, site_id, _measures_in_words(one, index)) for one in rankings]
    return "\n\n".join(texts)


def _measures_in_words(ranking: Ranking, index: int) -> dict[str, str]:
    return {name: describe_measure(name, measure, index) for name, measure in ranking.measures.items()}


def ask_about_law(season: Season, sites: dict[str, Sites]) -> tuple[LegalQuestion, ...]:
    """Return what must be asked of whom before anything moves: once per agent and jurisdiction."""
    questions = []
    for agent in season.agents:
        for jurisdiction in sorted(set(sites[agent.host].patches["jurisdiction"])):
            status = agent.legal_in(jurisdiction)
            reason = status.must_ask(season.as_of)
            if reason:
                questions.append(LegalQuestion(agent.name, status.jurisdiction, status.authority, reason))
    return tuple(questions)


def _usable(layers: LayerSet) -> LayerSet:
    stops = [finding for finding in layers.findings if finding.grade == "stop"]
    if stops:
        raise InputMistakes(stops)
    return layers


def _unknown(result: SeasonResult, site_id: str) -> str:
    known = [one for sites in result.sites.values() for one in sites.site_ids]
    folded = site_id.casefold()
    near = [one for one in known if one.casefold() == folded] or [
        one for one in known if folded in one.casefold()
    ]
    hint = f"did you mean {', '.join(near[:3])}?" if near else f"sites look like {', '.join(known[:3])}."
    return f"there is no site {site_id!r} in this season.\n  Fix: {hint}"
