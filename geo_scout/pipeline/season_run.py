"""The table of contents: what happens in what order, and nothing else."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.criteria import measure_all, needs_of
from geo_scout.criteria.climate_gap import with_best_sources
from geo_scout.errors import InputMistakes
from geo_scout.evidence import gather_evidence, look_back
from geo_scout.exclusions import book_of, exclude_all, exclude_too_close
from geo_scout.layers import not_looked_at, read_layers
from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import ClimateDoubt
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.finding import Finding
from geo_scout.model.layers import LayerSet
from geo_scout.model.quantities import TERRAIN_QUANTITIES, Columns
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import Audience, LegalQuestion, SeasonResult
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.model.zones import TerrainAsked, ZoneTable
from geo_scout.outputs import RunLog, write_outputs
from geo_scout.pipeline.site_doubts import climate_doubt, site_doubts
from geo_scout.pipeline.site_sources import pair_with_sources
from geo_scout.pipeline.site_times import ROLE_ORDER, SiteTimes, time_sites
from geo_scout.planning import plan_scouting
from geo_scout.ranking import (
    assess_robustness,
    best_first,
    compare_methods,
    find_idle,
    find_inconsistent,
    find_redundant,
    rank_sites,
    score_sites,
    weigh,
)
from geo_scout.season import read_season
from geo_scout.sites import find_patches
from geo_scout.zones import (
    collect_quantities,
    find_gaps,
    place_zones,
    read_relief,
    read_zones,
    site_columns,
    with_station_climate,
)


@dataclass(frozen=True)
class CheckResult:
    """What reading a season noticed.

    Parameters
    ----------
    season
        The season.
    findings
        What was noticed in its layers and at its sites.
    not_looked_at
        What a check leaves unsaid, one sentence each.
    """

    season: Season
    findings: tuple[Finding, ...]
    not_looked_at: tuple[str, ...] = ()

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Findings that make a layer untrue."""
        return tuple(finding for finding in self.findings if finding.grade == "stop")


def check(season_file: str | Path) -> CheckResult:
    """Return what a season's layers look like, without ranking or writing anything.

    Sites are made and the rasters asked about them, unless a layer stops.

    Parameters
    ----------
    season_file
        The season file.

    Raises
    ------
    InputMistakes
        The season file or a profile is wrong; every mistake at once.
    """
    return check_read(read_season(season_file))


def check_read(season: Season) -> CheckResult:
    """Return what a season that is already read looks like."""
    layers = read_layers(season)
    is_stopped = any(finding.grade == "stop" for finding in layers.findings)
    further = () if is_stopped else _check_sites(layers, season)
    found = layers.findings + further + find_inconsistent(season)
    return CheckResult(season, found, not_looked_at(season, is_stopped=is_stopped))


def _check_sites(layers: LayerSet, season: Season) -> tuple[Finding, ...]:
    """Return what is noticed when the patches are made and the rasters are asked about them."""
    sites = {host: find_patches(layers, season, host) for host in season.hosts}
    evidence = {a.name: gather_evidence(sites[a.host], layers, season, a) for a in season.agents}
    found = _noticed(sites, evidence)
    places = place_zones(sites, evidence, layers, season)
    try:
        return found + find_gaps(
            read_zones(layers.rasters, places, climate=season.settings.climate),
            places,
            layers.rasters,
            season,
        )
    except InputMistakes as damaged:
        return found + tuple(one for one in damaged.mistakes if isinstance(one, Finding))


def terrain_asked(season: Season) -> TerrainAsked:
    """Return what the season's criteria and its slope limit ask of the shape of the ground."""
    needs = needs_of(name for role in ROLE_ORDER for name in season.settings.criteria.of(role))
    limit_deg, ground = season.rules.max_slope_deg, season.settings.terrain
    by_limit = {"steep_share"} if limit_deg is not None else set()
    wanted = (needs & frozenset(TERRAIN_QUANTITIES)) | by_limit
    return TerrainAsked(wanted, limit_deg, ground.heat_load_equation, ground.surroundings_m)


def _noticed(sites: Mapping[str, Sites], evidence: Mapping[str, Evidence]) -> tuple[Finding, ...]:
    of_sites = [finding for one in sites.values() for finding in one.findings]
    return (*of_sites, *(finding for one in evidence.values() for finding in one.findings))


def _of_rankings(season: Season, rankings: Iterable[Ranking]) -> tuple[Finding, ...]:
    """Return what is noticed in the weights and, on the ranked sites, in the criteria."""
    level = season.settings.ranking.redundant_above
    alike = (finding for one in rankings for finding in (*find_redundant(one, level), *find_idle(one)))
    return (*find_inconsistent(season), *alike)


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
        layers = usable(read_layers(season))
    with log.step("finding patches"):
        sites = {host: find_patches(layers, season, host) for host in season.hosts}
    with log.step("weighing records"):
        evidence = {a.name: gather_evidence(sites[a.host], layers, season, a) for a in season.agents}
        by_year = {a.name: look_back(sites[a.host], layers, season, a) for a in season.agents}
    with log.step("reading rasters"):
        places = place_zones(sites, evidence, layers, season)
        zones = read_zones(layers.rasters, places, terrain_asked(season), season.settings.climate)
        zones = with_station_climate(zones, places, layers.station_normals, season.settings.climate)
        gaps = find_gaps(zones, places, layers.rasters, season)
        relief = read_relief(layers)
    with log.step("timing windows"):
        times = time_sites(season, sites, zones, layers)
    with log.step("ranking"):
        ranked = []
        pairs: dict[str, pd.DataFrame] = {}
        for agent in season.agents:
            of_agent = sites[agent.host], evidence[agent.name], zones
            columns = collect_quantities(agent, season, *of_agent, layers.yearly_climate)
            both = rank_both(season, agent, *of_agent, times, columns)
            pairs |= pair_with_sources(columns, sites[agent.host], [ranking for ranking, _ in both])
            ranked += both
    rankings = tuple(ranking for ranking, _ in ranked)
    exclusions = tuple(exclusion for _, ones in ranked for exclusion in ones)
    with log.step("planning visits"):
        visits = [
            plan_scouting(season, a, sites[a.host], evidence[a.name], rankings, exclusions, times.windows)
            for a in season.agents
        ]
    result = SeasonResult(
        season=season,
        layers=layers,
        sites=sites,
        evidence=evidence,
        rankings=rankings,
        exclusions=exclusions,
        questions=ask_about_law(season, sites),
        findings=layers.findings + _noticed(sites, evidence) + gaps + _of_rankings(season, rankings),
        relief=relief,
        windows=times.windows,
        zones=zones,
        scouting=tuple(one for both in visits for one in both),
        records_by_year=by_year,
        possible_sources=pairs,
    )
    if write:
        folder = Path(outputs) if outputs else season.file_of(season.settings.season.outputs)
        with log.step("writing outputs"):
            write_outputs(result, folder, audience, log)
        result = replace(result, outputs=folder)
    return result


def rank_both(
    season: Season,
    agent: AgentProfile,
    sites: Sites,
    evidence: Evidence,
    zones: ZoneTable,
    times: SiteTimes,
    columns: Columns,
) -> list[tuple[Ranking, list[Exclusion]]]:
    """Return the two rankings of one agent, every criterion of either measured once.

    The sources come first: the best source of a release site is one that is ranked.
    """
    names = dict.fromkeys(name for role in ROLE_ORDER for name in season.settings.criteria.of(role))
    measured = measure_all(names, columns)
    of_agent = sites, evidence, zones, times
    doubt = climate_doubt(agent, season, sites, evidence, zones, columns, measured.get("climate_gap"))
    source = rank_agent(season, agent, "source", *of_agent, measured, doubt)
    if "climate_gap" in measured:
        ranked_ids = frozenset(source[0].ranked["site_id"])
        measured["climate_gap"] = with_best_sources(measured["climate_gap"], columns, ranked_ids)
    return [source, rank_agent(season, agent, "release", *of_agent, measured, doubt)]


def rank_agent(
    season: Season,
    agent: AgentProfile,
    role: Role,
    sites: Sites,
    evidence: Evidence,
    zones: ZoneTable,
    times: SiteTimes,
    measured: Mapping[str, CriterionValue],
    doubt: ClimateDoubt,
) -> tuple[Ranking, list[Exclusion]]:
    """Return one ranking of one agent with the reasons for the sites left out."""
    criteria = season.settings.criteria.of(role)
    measures = {name: measured[name] for name in criteria}
    heat_sum, extremes = times.heat_sums.get(agent.name), times.extremes.get(agent.host)
    book = book_of(agent, role, season, sites, evidence, zones, heat_sum, extremes)
    exclusions = exclude_all(book)
    out = {exclusion.site_id for exclusion in exclusions}
    may_rank = np.array([site_id not in out for site_id in sites.site_ids], dtype=np.bool_)
    combination = season.settings.ranking
    weighing = weigh(criteria, season.settings.weights.of(role))
    method, attitude = combination.method_of(role), combination.attitude_of(role)
    # Spacing needs the order, so the ideal of a distance is taken before it leaves anybody out.
    scored = score_sites(criteria, measures, weighing, method, attitude, may_rank)
    left = [site_id for site_id in best_first(scored.score, sites.site_ids) if site_id not in out]
    exclusions += exclude_too_close(book, left)
    doubts, out = site_doubts(book, doubt, exclusions), {exclusion.site_id for exclusion in exclusions}
    listed = [site_id for site_id in left if site_id not in out]
    sure = assess_robustness(doubts, criteria, measures, scored, listed, season.settings.ranking)
    ranking = rank_sites(
        agent,
        role,
        season,
        sites,
        evidence,
        measures,
        scored,
        exclusions,
        book.climate,
        times.windows[agent.name, role],
        _columns_besides(measured, role, site_columns(zones, sites)),
        sure,
    )
    comparison = compare_methods(scored, sites.site_ids, ranking.ranked["site_id"], combination.top_n)
    return replace(ranking, comparison=comparison), exclusions


def _columns_besides(
    measured: Mapping[str, CriterionValue], role: Role, ground: pd.DataFrame
) -> pd.DataFrame:
    """Return what every site shows though no criterion asks for it: a source, too, has a climate."""
    gap = measured.get("climate_gap")
    if role == "release" or gap is None:
        return ground
    details = {name: column for name, column in gap.details.items() if not name.startswith("best_source")}
    return pd.concat([pd.DataFrame({"climate_gap": gap.value} | details), ground], axis=1)


def ask_about_law(season: Season, sites: Mapping[str, Sites]) -> tuple[LegalQuestion, ...]:
    """Return what must be asked of whom before anything moves: once per agent and jurisdiction.

    What a profile warns of goes before them.
    """
    questions = []
    for agent in season.agents:
        if agent.caution:
            questions.append(LegalQuestion(agent.name, "", "", agent.caution.removesuffix(".")))
        for jurisdiction in sorted(set(sites[agent.host].patches["jurisdiction"])):
            status = agent.legal_in(jurisdiction)
            reason = status.must_ask(season.as_of)
            if reason:
                questions.append(LegalQuestion(agent.name, status.jurisdiction, status.authority, reason))
    return tuple(questions)


def usable(layers: LayerSet) -> LayerSet:
    """Return the layers, or say what stops them.

    Raises
    ------
    InputMistakes
        A finding makes a layer untrue.
    """
    stops = [finding for finding in layers.findings if finding.grade == "stop"]
    if stops:
        raise InputMistakes(stops)
    return layers
