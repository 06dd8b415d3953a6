"""Past releases held against the score that their sites would have had: what happens in what order."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.criteria import measure_all, measure_column
from geo_scout.errors import InputMistakes
from geo_scout.evidence import gather_evidence, judge_releases, place_records
from geo_scout.layers import known_on, read_layers, tell_hindsight
from geo_scout.learning import assess_agent, case_table
from geo_scout.model.agent import AgentProfile
from geo_scout.model.backtest import Backtest
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.evidence import Evidence
from geo_scout.model.layers import LayerSet
from geo_scout.model.problem import Problem
from geo_scout.model.result import Audience
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.outputs import RunLog, write_backtest
from geo_scout.pipeline.season_run import terrain_asked, usable
from geo_scout.ranking import score_sites, weigh
from geo_scout.season import read_season
from geo_scout.sites import find_patches
from geo_scout.zones import collect_quantities, place_zones, put_together, read_zones, with_station_climate

FOLDER = "backtest"
UNKNOWN_THEN = ("preferred_land_pct",)
"""Quantities of undated layers, which no earlier day knows."""

Then = dict[str, dict[str, object]]


@dataclass(frozen=True)
class _Day:
    """What was known of one agent and its host on a day with releases.

    Parameters
    ----------
    agent
        Its profile.
    season, layers
        With the day as the clock, and nothing dated later.
    sites, evidence
        Patches and records of that day.
    site_of
        Release_id to site_id, for the releases of that day that lie in a patch that was mapped.
    zones
        What the rasters are asked about.
    """

    agent: AgentProfile
    season: Season
    layers: LayerSet
    sites: Sites
    evidence: Evidence
    site_of: Mapping[str, str]
    zones: gpd.GeoDataFrame


def backtest(
    season_file: str | Path,
    *,
    outputs: str | Path | None = None,
    audience: Audience = "crew",
    write: bool = True,
    listen: Callable[[str], None] = lambda _: None,
) -> tuple[Backtest, Path]:
    """Return how well the season's score would have told which past releases establish, and its folder.

    Parameters
    ----------
    season_file
        The season file; its criteria, weights and profiles are those that are tried.
    outputs
        Folder for the results; ``backtest`` beside the season's outputs otherwise.
    audience
        Who the outputs are for: ``crew``, ``board`` or ``public``.
    write
        False keeps the result in memory only.
    listen
        Called with the name of each step as it starts.

    Raises
    ------
    InputMistakes
        The season, a profile or a layer is wrong, or there are no releases or no visits; nothing is written.
    OutputsBlocked
        The outputs cannot be written; earlier outputs are untouched.

    Notes
    -----
    The site of each release is scored as the season would have scored it before anything was put out that
    day. Limits are not applied: people chose these sites, and what they found there is the lesson.
    """
    log = RunLog(listen)
    with log.step("reading the season"):
        season = read_season(season_file)
    with log.step("reading layers"):
        layers = usable(read_layers(season))
        _refuse_no_records(season, layers)
    result = backtest_layers(season, layers, log)
    own = season.file_of(season.settings.season.outputs).resolve()
    folder = Path(outputs) if outputs else own.with_name(FOLDER)
    if write:
        with log.step("writing outputs"):
            write_backtest(result, folder, audience, log)
    return result, folder


def backtest_layers(season: Season, layers: LayerSet, log: RunLog | None = None) -> Backtest:
    """Return the backtest of layers as read.

    Parameters
    ----------
    season
        Criteria, weights and profiles that are tried, and the day up to which outcomes are known.
    layers
        The season's layers, with releases and visits.
    log
        Where the time goes.
    """
    log = log or RunLog()
    with log.step("judging releases"):
        sites = {host: find_patches(layers, season, host) for host in season.hosts}
        outcomes = {a.name: judge_releases(sites[a.host], layers, season, a) for a in season.agents}
    with log.step("going back to each release"):
        days = [day for a in season.agents for day in _days_of(season, layers, a, outcomes[a.name])]
    with log.step("reading rasters"):
        then = _score_days(days, layers, season)
    with log.step("comparing"):
        return _compare(season, layers, outcomes, then)


def _refuse_no_records(season: Season, layers: LayerSet) -> None:
    """Refuse a season that has no past releases, or nobody who looked after them."""
    problems = []
    for name in ("releases", "visits"):
        why = "a backtest holds past releases against later visits, and"
        if name not in layers.vectors:
            what = f"{why} the season has no layer of {name}."
            fix = f"add [layers.{name}] with the path of your records."
        elif layers.vectors[name].empty:
            what = f"{why} the layer of {name} has none in use."
            fix = "check its dates and agents; `geo-scout check` says what was set aside."
        else:
            continue
        key = f"layers.{name}"
        problems.append(Problem("backtest-without-records", season.path.name, None, key, what, fix))
    if problems:
        raise InputMistakes(problems)


def _days_of(season: Season, layers: LayerSet, agent: AgentProfile, outcomes: pd.DataFrame) -> list[_Day]:
    """Return the days on which the agent was put out, with what was known of its host then."""
    days = []
    patches: dict[bytes, Sites] = {}
    for on in np.unique(outcomes["date"].to_numpy().astype("datetime64[D]")):
        day: dt.date = on.item()
        known, then = known_on(layers, day), replace(season, as_of=day)
        if agent.host not in set(known.vectors["infestations"]["host"]) | {""}:
            continue
        key = _key_of(known)
        if key not in patches:
            patches = {key: find_patches(known, then, agent.host)}
        sites = _without_undated(patches[key])
        site_of = _sites_of(layers, agent, on, sites)
        if site_of:
            evidence = gather_evidence(sites, known, then, agent)
            zones = place_zones({agent.host: sites}, {agent.name: evidence}, known, then)
            days.append(_Day(agent, then, known, sites, evidence, site_of, zones))
    return days


def _key_of(known: LayerSet) -> bytes:
    """Return what decides the patches of a day: which surveys were made, which treatments had ended."""
    names = ("infestations", "surveyed_areas", "treatments")
    return b"|".join(
        known.vectors[name]["row"].to_numpy().tobytes() if name in known.vectors else b"" for name in names
    )


def _without_undated(sites: Sites) -> Sites:
    unknown = dict.fromkeys(UNKNOWN_THEN, np.nan)
    return replace(sites, patches=sites.patches.assign(**unknown))


def _sites_of(layers: LayerSet, agent: AgentProfile, on: np.datetime64, sites: Sites) -> dict[str, str]:
    releases = layers.vectors["releases"]
    is_ours = (releases["agent"] == agent.name).to_numpy(dtype=bool)
    is_then = releases["date"].to_numpy().astype("datetime64[D]") == on
    placed = place_records(releases.loc[is_ours & is_then].reset_index(drop=True), sites.patches)
    pairs = zip(placed["release_id"], placed["site_id"], strict=True)
    return {str(release): str(site) for release, site in pairs if site}


def _score_days(days: list[_Day], layers: LayerSet, season: Season) -> dict[str, Then]:
    """Return by agent and release what its site was worth on its day."""
    found: dict[str, Then] = {agent.name: {} for agent in season.agents}
    if not days:
        return found
    together = put_together([day.zones for day in days])
    climate = season.settings.climate
    zones = read_zones(layers.rasters, together.zones, terrain_asked(season), climate)
    zones = with_station_climate(zones, together.zones, layers.station_normals, climate)
    for number, day in enumerate(days):
        found[day.agent.name] |= _score_day(day, together.of_day(zones, number))
    return found


def _score_day(day: _Day, zones: ZoneTable) -> Then:
    criteria = day.season.settings.criteria.of("release")
    columns = collect_quantities(
        day.agent, day.season, day.sites, day.evidence, zones, day.layers.yearly_climate
    )
    measures = measure_all(criteria, columns)
    combination = day.season.settings.ranking
    scored = score_sites(
        criteria,
        measures,
        weigh(criteria, day.season.settings.weights.of("release")),
        combination.method_of("release"),
        combination.attitude_of("release"),
    )
    table = pd.DataFrame(
        {
            "site_id": day.sites.site_ids,
            "score": scored.score,
            "score_low": scored.score_low,
            "score_high": scored.score_high,
            "crew_distance_km": day.sites.patches["crew_distance_km"].to_numpy(),
            "infested_ha": day.sites.patches["infested_ha"].to_numpy(),
            **{measures[name].column(name): measures[name].value for name in criteria},
            **{f"{name}_value": _value(measures[name], scored.values[name]) for name in criteria},
        }
    ).set_index("site_id", drop=False)
    return {release: dict(table.loc[site]) for release, site in day.site_of.items()}


def _value(measure: CriterionValue, value: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> object:
    """Return the value of a criterion, nan where its measure is missing: it then tells nothing."""
    return np.where(measure.known, value, np.nan)


def _compare(
    season: Season, layers: LayerSet, outcomes: Mapping[str, pd.DataFrame], then: Mapping[str, Then]
) -> Backtest:
    criteria = season.settings.criteria.of("release")
    now = weigh(criteria, season.settings.weights.of("release")).weights
    columns = [column for name in criteria for column in (measure_column(name), f"{name}_value")]
    tables = [case_table(a.name, outcomes[a.name], then[a.name], columns) for a in season.agents]
    return Backtest(
        season=season,
        cases=pd.concat([one for one in tables if len(one)] or tables[:1], ignore_index=True),
        assessments=tuple(
            assess_agent(a.name, one, now) for a, one in zip(season.agents, tables, strict=True)
        ),
        hindsight=tell_hindsight(layers),
        inputs=layers.inputs,
    )
