"""A season for the map with as many patches as asked for, without the pipeline: one weed, one agent."""

from dataclasses import replace

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.combining import rank_by_score
from geo_scout.model.criteria import default_release_criteria, default_source_criteria
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.model.sites import Sites
from geo_scout.ranking.score import score_sites

VERTICES = 60
SPAN_DEG = 1.0
CRITERIA = 8


def large_season(small: SeasonResult, count: int) -> SeasonResult:
    """Return a season of one agent with ``count`` patches: all ranked as release sites, few as sources.

    Parameters
    ----------
    small
        Any season, from which settings, agents and layers are taken.
    count
        Patches of the weed.
    """
    agent = small.season.agents[0]
    rng = np.random.default_rng(count)
    frame = _patches(agent.host, count, rng)
    empty = gpd.GeoDataFrame({"site_id": []}, geometry=[], crs="EPSG:4326")
    sites = Sites(agent.host, frame, empty, pd.DataFrame(), pd.DataFrame())
    rankings = tuple(_ranking(agent.name, role, frame, rng) for role in ("release", "source"))
    season = replace(small.season, agents=(agent,))
    evidence = {agent.name: replace(small.evidence[agent.name], sites=_states(frame))}
    return replace(
        small,
        season=season,
        sites={agent.host: sites},
        rankings=rankings,
        evidence=evidence,
        exclusions=(),
        relief=None,
    )


def _patches(host: str, count: int, rng: np.random.Generator) -> gpd.GeoDataFrame:
    turns = np.linspace(0, 2 * np.pi, VERTICES, endpoint=False)
    # Hand-drawn outlines: a few slow waves, and a hand that shakes by a metre or two.
    waves = sum(
        rng.uniform(0.02, 0.16, (count, 1)) * np.sin(turns * k + rng.uniform(0, 2 * np.pi, (count, 1)))
        for k in (2, 3, 5)
    )
    radius_m = rng.lognormal(4.3, 0.5, (count, 1)) * (1 + waves) + rng.normal(0, 1.0, (count, VERTICES))
    longitude_deg, latitude_deg = (
        rng.uniform(-117.0, -117.0 + SPAN_DEG, count),
        rng.uniform(46.0, 46.0 + SPAN_DEG, count),
    )
    east = longitude_deg[:, None] + radius_m * np.cos(turns) / 77_000
    north = latitude_deg[:, None] + radius_m * np.sin(turns) / 111_200
    geometry = shapely.polygons(np.stack([east, north], axis=-1))
    number = np.arange(count)
    area_ha = np.round(np.pi * np.mean(radius_m**2, axis=1) / 1e4, 4)
    return gpd.GeoDataFrame(
        {
            "site_id": [f"AMB-{n:05d}" for n in number],
            "host": host,
            "name": [f"Patch {n}" for n in number],
            "district": np.array(["Lower Pell", "Upper Pell"])[number % 2],
            "longitude_deg": np.round(longitude_deg, 6),
            "latitude_deg": np.round(latitude_deg, 6),
            "gross_ha": area_ha,
            "infested_ha": area_ha,
            "cover_pct": np.round(rng.uniform(4, 90, count), 1),
            "manager": np.array(["Pell Basin Land Trust", "Orra Grazing Group"])[number % 2],
            "permission": "yes",
        },
        geometry=geometry,
        crs="EPSG:4326",
    )


def _states(frame: gpd.GeoDataFrame) -> pd.DataFrame:
    return pd.DataFrame(
        {"site_id": frame["site_id"], "confirmed": False, "request_ids": "", "unvisited_release_ids": ""}
    )


def _ranking(agent: str, role: str, frame: gpd.GeoDataFrame, rng: np.random.Generator) -> Ranking:
    chosen = default_release_criteria() if role == "release" else default_source_criteria()
    some = next(c for name in type(chosen).model_fields if (c := getattr(chosen, name)) is not None)
    names = [name for name in type(chosen).model_fields][:CRITERIA]
    criteria = dict.fromkeys(names, some)
    measures = {name: _measure(rng.uniform(0, 6, len(frame))) for name in names}
    scored = score_sites(criteria, measures)
    is_ranked = np.ones(len(frame), dtype=bool) if role == "release" else np.arange(len(frame)) % 97 == 0
    table = pd.DataFrame(frame.drop(columns=["geometry", "host"])).assign(
        agent=agent,
        role=role,
        purpose="new" if role == "release" else "",
        status=np.where(is_ranked, "ranked", "left out"),
        score=scored.score,
        score_low=scored.score_low,
        score_high=scored.score_high,
        exclusion_codes=np.where(is_ranked, "", "agent-not-confirmed"),
        reasons=np.where(is_ranked, "", "Left out: Nobody has found the agent here yet."),
        what_would_change_it="",
        cautions="",
        public_cautions="",
        stop_and_ask="",
        survey_date="2025-06-20",
    )
    for name in names:
        table[measures[name].column(name)] = measures[name].value
    ranks = pd.array([pd.NA] * len(frame), dtype="Int64")
    ranks[is_ranked] = rank_by_score(scored.score[is_ranked], frame["site_id"].to_numpy()[is_ranked])
    table = (
        table.assign(rank=ranks).sort_values(["rank", "site_id"], na_position="last").reset_index(drop=True)
    )
    return Ranking(
        agent,
        role,
        criteria,
        scored.weights,
        measures,
        table,
        low_values=scored.values,
        high_values=scored.high_values,
    )  # type: ignore[arg-type]


def _measure(values: NDArray[np.float64]) -> CriterionValue:
    return CriterionValue("ha", values, values, values, np.ones(len(values), dtype=bool), ("",) * len(values))
