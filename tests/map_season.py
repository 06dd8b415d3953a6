"""An invented season for the tests of the map: two weeds, two agents, a valley that exists nowhere.

The pipeline is not run: results are put together here in their documented form, so that a test of the map
fails for the map's faults only. Every text field can be filled with a hostile text.
"""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role, default_release_criteria, default_source_criteria
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.layers import LayerSet
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import LegalQuestion, SeasonResult
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ReliefGrid
from geo_scout.ranking.score import score_sites

CRS_WORK = CRS.from_user_input("+proj=laea +lat_0=46 +lon_0=-117 +datum=WGS84 +units=m")
AS_OF = dt.date(2026, 3, 1)
AGENTS = (("Root weevil", "Amber knapweed", "AMB"), ("Gall midge", "Hollow toadflax", "HOL"))
PLACES = ("Corrie", "Fenner", "Hask", "Ellet", "Moss", "Tarn", "Pell", "Orra", "Wick", "Sorrel", "Heron")
FEATURES = ("Bend", "Bench", "Draw", "Flat", "Ridge", "Gulch", "Landing", "Terrace", "Crossing", "Slope")
MANAGERS = ("Pell Basin Land Trust", "Orra Grazing Group", "Ferrin County")
UNITS = {
    "host_area": "ha",
    "host_cover": "pct",
    "host_around": "ha",
    "crew_distance": "km",
    "climate_gap": "",
}

WINDOW_DATES = {
    "window_scout": -14,
    "window_opens_early": -6,
    "window_opens": 0,
    "window_opens_late": 6,
    "window_peaks": 20,
    "window_closes": 45,
}
"""Days after a window opens."""

STATE_OF = {"found": "confirmed", "not found": "lost", "not visited": "possible"}

Text = Callable[[str], str]


def make_season(
    sites_per_host: int = 12, *, text: Text = lambda plain: plain, relief_px: int = 96, questions: int = 1
) -> SeasonResult:
    """Return an invented season.

    Parameters
    ----------
    sites_per_host
        Patches of each weed.
    text
        Applied to every text field a user could have typed.
    relief_px
        Width of the elevation grid [pixels]; 0 leaves the elevation out.
    questions
        Number of STOP AND ASK lines.
    """
    rng = np.random.default_rng(7)
    agents = tuple(_agent(name, host, code, text) for name, host, code in AGENTS)
    settings = SeasonSettings.model_validate(_settings(text))
    season = Season(Path("season.toml"), settings, agents, AS_OF, frozenset())
    sites = {agent.host: _sites(agent, sites_per_host, rng, text) for agent in agents}
    evidence = {agent.name: _evidence(agent, sites[agent.host], rng, text) for agent in agents}
    exclusions = tuple(
        e for agent in agents for e in _exclusions(agent, sites[agent.host], evidence[agent.name], text)
    )
    rankings = tuple(
        _ranking(agent, role, sites[agent.host], evidence[agent.name], exclusions, text)
        for agent in agents
        for role in ("release", "source")
    )
    return SeasonResult(
        season=season,
        layers=LayerSet(CRS_WORK, _vectors(evidence, text), {}),
        sites=sites,
        evidence=evidence,
        rankings=rankings,
        exclusions=exclusions,
        questions=tuple(_question(number, agents, text) for number in range(questions)),
        findings=(),
        relief=_relief(relief_px) if relief_px else None,
    )


def _settings(text: Text) -> dict[str, Any]:
    return {
        "format": 1,
        "season": {
            "title": text("Pell Basin, summer 2026"),
            "as_of": AS_OF,
            "start": dt.date(2026, 5, 18),
            "end": dt.date(2026, 8, 14),
            "agents": ("a.toml", "b.toml"),
        },
        "layers": {"infestations": {"path": "infestations.gpkg"}},
        "crews": [
            {"name": text("Fenner depot"), "base_longitude_deg": -117.21, "base_latitude_deg": 46.05},
            {"name": text("Orra yard"), "base_longitude_deg": -116.72, "base_latitude_deg": 45.87},
        ],
        "rules": {"land_classes": {"reserve": "ask", "crop": "forbid"}},
    }


def _agent(name: str, host: str, code: str, text: Text) -> AgentProfile:
    return AgentProfile.model_validate(
        {
            "format": 1,
            "name": text(name),
            "host": text(host),
            "host_code": code,
            "establishment": {"prior_share": {"value": 0.5}},
        }
    )


def _question(number: int, agents: tuple[AgentProfile, ...], text: Text) -> LegalQuestion:
    jurisdiction = text(("Ferrin County", "Orra County")[number % 2])
    reason = f"the legal status in {jurisdiction} is unknown"
    return LegalQuestion(agents[number // 2 % 2].name, jurisdiction, text("State weed board"), reason)


def _sites(agent: AgentProfile, count: int, rng: np.random.Generator, text: Text) -> Sites:
    easting_m, northing_m = rng.uniform(-25_000, 25_000, count), rng.uniform(-18_000, 18_000, count)
    geometry = [_patch(e, n, rng) for e, n in zip(easting_m, northing_m, strict=True)]
    inside = gpd.GeoSeries(shapely.point_on_surface(geometry), crs=CRS_WORK)
    degrees, utm = inside.to_crs("EPSG:4326"), inside.to_crs("EPSG:32611")
    gross_ha = np.round(shapely.area(geometry) / 1e4, 4)
    cover_pct = np.round(rng.uniform(4, 90, count), 1)
    names = [
        f"{PLACES[rng.integers(len(PLACES))]} {FEATURES[rng.integers(len(FEATURES))]}" for _ in range(count)
    ]
    frame = gpd.GeoDataFrame(
        {
            "site_id": [f"{agent.host_code}-{number:03d}" for number in range(1, count + 1)],
            "host": agent.host,
            "name": [text(name) for name in names],
            "longitude_deg": np.round(degrees.x, 6),
            "latitude_deg": np.round(degrees.y, 6),
            "utm_zone": "11N",
            "easting_m": np.round(utm.x, 1),
            "northing_m": np.round(utm.y, 1),
            "gross_ha": gross_ha,
            "infested_ha": np.round(gross_ha * cover_pct / 100, 4),
            "cover_pct": cover_pct,
            "survey_date": pd.to_datetime(["2023-06-10", "2021-07-02", "2025-06-20"])[
                rng.integers(0, 3, count)
            ],
            "manager": [text(MANAGERS[number % 3]) for number in range(count)],
            "permission": [("yes", "unknown", "yes", "no")[number % 4] for number in range(count)],
            "crew_distance_km": np.round(rng.uniform(2, 55, count), 3),
        },
        geometry=geometry,
        crs=CRS_WORK,
    )
    empty = gpd.GeoDataFrame({"site_id": []}, geometry=[], crs=CRS_WORK)
    return Sites(agent.host, frame, empty, pd.DataFrame(), pd.DataFrame())


def _patch(easting_m: float, northing_m: float, rng: np.random.Generator) -> shapely.Polygon:
    turns = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    radius_m = rng.uniform(120, 620) * (
        1 + 0.25 * np.sin(turns * rng.integers(2, 5) + rng.uniform(0, 6)) + rng.uniform(-0.08, 0.08, 40)
    )
    shell = np.column_stack(
        [easting_m + radius_m * 1.5 * np.cos(turns), northing_m + radius_m * np.sin(turns)]
    )
    hole = shapely.Point(easting_m, northing_m).buffer(40, 4).exterior.coords
    return shapely.Polygon(shell, [hole] if rng.random() < 0.3 else [])


def _evidence(agent: AgentProfile, sites: Sites, rng: np.random.Generator, text: Text) -> Evidence:
    patches = sites.patches
    count = len(patches)
    released = np.arange(0, count, 3)
    outcome = [("found", "not found", "not visited")[k % 3] for k in range(len(released))]
    points = [
        shapely.affinity.translate(
            patches.geometry.iloc[i].representative_point(), *rng.uniform(-250, 250, 2)
        )
        for i in released
    ]
    releases = gpd.GeoDataFrame(
        {
            "release_id": [text(f"R{agent.host_code}{i:03d}") for i in released],
            "agent": agent.name,
            "date": pd.Timestamp("2020-06-15"),
            "number": 200.0,
            "life_stage": text("adult"),
            "source_site": text("Old Ferrin"),
            "purpose": "new",
            "permit": text("PERMIT-4471"),
            "outcome": outcome,
            "visits": [int(o != "not visited") for o in outcome],
            "last_visit": [None if o == "not visited" else dt.date(2024, 6, 30) for o in outcome],
            "year_found": [2024.0 if o == "found" else np.nan for o in outcome],
            "site_id": list(patches["site_id"].iloc[released]),
            "place_id": list(patches["site_id"].iloc[released]),
            "district": text("Ferrin"),
            "lost_on": ["2023-05-14" if o == "not found" else "" for o in outcome],
            **_states([STATE_OF[o] for o in outcome], text),
        },
        geometry=points,
        crs=CRS_WORK,
    )
    seen = releases[releases["outcome"] != "not visited"]
    visits = gpd.GeoDataFrame(
        {
            "visit_id": [f"V{i}" for i in range(len(seen))],
            "release_id": seen["release_id"].to_list(),
            "date": pd.Timestamp("2024-06-30"),
            "found": (seen["outcome"] == "found").to_list(),
            "method": text("sweep net"),
            "effort_hours": 1.5,
            "count": 12.0,
            "observer": text("Ines Varga"),
            "site_id": seen["site_id"].to_list(),
            "says_nothing": ["" if o == "found" else text("it cannot be seen") for o in seen["outcome"]],
        },
        geometry=seen.geometry.to_list(),
        crs=CRS_WORK,
    )
    found = releases[releases["outcome"] == "found"]
    is_found = patches["site_id"].isin(found["site_id"])
    populations = gpd.GeoDataFrame(
        {
            "population_id": [f"P{i}" for i in range(int(is_found.sum()))],
            "name": patches.loc[is_found, "name"].to_list(),
            "site_id": patches.loc[is_found, "site_id"].to_list(),
            "first_found": dt.date(2024, 6, 30),
            "last_found": dt.date(2024, 6, 30),
            "release_ids": found["release_id"].to_list(),
            "latest_result": text("found"),
        },
        geometry=patches.geometry[is_found].to_list(),
        crs=CRS_WORK,
    )
    table = pd.DataFrame(
        {
            "site_id": patches["site_id"],
            "confirmed": is_found,
            "request_ids": ["Q1" if i % 5 == 1 else "" for i in range(count)],
            "unvisited_release_ids": [_waiting(releases, site_id) for site_id in patches["site_id"]],
            "population_name": text("Corrie Bend"),
            "population_distance_km": np.where(is_found, 0.0, 3.25),
            "gap_crossed": np.where(is_found, "yes", "not known"),
            **_states(["confirmed" if found else "possible" for found in is_found], text),
        }
    )
    return Evidence(agent.name, releases, visits, populations, table)


def _states(states: list[str], text: Text) -> dict[str, Any]:
    best = [{"confirmed": 1.0, "lost": 0.002}.get(state, 0.5) for state in states]
    return {
        "state": states,
        "state_year": [2023.0 if state == "lost" else 2024.0 for state in states],
        "state_words": [text(f"{state} (2024), 50 %: release of 2020, herbicide T4") for state in states],
        "presence_low_share": [max(share - 0.2, 0.0) for share in best],
        "presence_share": best,
        "presence_high_share": [min(share + 0.2, 1.0) for share in best],
    }


def _waiting(releases: gpd.GeoDataFrame, site_id: str) -> str:
    is_waiting = (releases["site_id"] == site_id) & (releases["outcome"] == "not visited")
    return ", ".join(releases.loc[is_waiting, "release_id"])


def _exclusions(agent: AgentProfile, sites: Sites, evidence: Evidence, text: Text) -> list[Exclusion]:
    confirmed = dict(zip(evidence.sites["site_id"], evidence.sites["confirmed"], strict=True))
    found: list[Exclusion] = []
    for patch in sites.patches.to_dict("records"):
        site_id = str(patch["site_id"])

        def leave_out(role: Role, code: str, sentence: str, remedy: str, site_id: str = site_id) -> None:
            found.append(
                Exclusion(agent.name, role, site_id, code, text(sentence), None, None, "", text(remedy))
            )

        if confirmed[site_id]:
            leave_out(
                "release",
                "agent-present",
                "The agent was found in this patch in 2024.",
                "A purpose of supplement allows it.",
            )
        else:
            leave_out(
                "source",
                "agent-not-confirmed",
                "Nobody has found the agent here yet.",
                "A visit that finds it brings the patch back.",
            )
        if patch["permission"] == "no":
            for role in ("release", "source"):
                leave_out(
                    role,
                    "permission-refused",
                    f"{patch['manager']} refused access.",
                    "Permission from the manager brings it back.",
                )
        if patch["infested_ha"] < 2.0:
            leave_out(
                "release",
                "too-small",
                f"{patch['infested_ha']:.4f} ha infested; the limit is 2 ha (min_infested_ha).",
                "A limit at or below its area brings it back.",
            )
    return found


def _ranking(
    agent: AgentProfile,
    role: Role,
    sites: Sites,
    evidence: Evidence,
    exclusions: tuple[Exclusion, ...],
    text: Text,
) -> Ranking:
    chosen = default_release_criteria() if role == "release" else default_source_criteria()
    criteria = {name: c for name in type(chosen).model_fields if (c := getattr(chosen, name)) is not None}
    measured = _measured(sites)
    measures = {name: _measure(name, measured[name], text) for name in criteria}
    scored = score_sites(criteria, measures)
    table = pd.DataFrame(sites.patches.drop(columns=["geometry", "host", "crew_distance_km"]))
    table = table.assign(
        agent=agent.name,
        role=role,
        purpose="new",
        score=scored.score,
        score_low=scored.score_low,
        score_high=scored.score_high,
    )
    table["survey_date"] = table["survey_date"].dt.strftime("%Y-%m-%d")
    table = table.assign(**_windows(role, len(table), has_dates=agent.host_code == AGENTS[0][2]))
    for name in criteria:
        table[measures[name].column(name)] = measured[name]
        table[f"{name}_value"] = np.where(measures[name].known, scored.values[name], np.nan)
        table[f"{name}_points"] = scored.points[name]
    return Ranking(
        agent.name,
        role,
        criteria,
        scored.weights,
        measures,
        _ordered(table, exclusions, text),
        low_values=scored.values,
        high_values=scored.high_values,
    )


def _windows(role: Role, count: int, *, has_dates: bool) -> dict[str, Any]:
    """Return windows as the tables hold them: later from site to site, of every fourth not known."""
    if not has_dates:
        return {"window_kind": "host stage", **dict.fromkeys(WINDOW_DATES, "")}
    number = np.arange(count)
    opens = pd.Timestamp("2026-06-08" if role == "release" else "2026-05-25") + pd.to_timedelta(
        3 * number, unit="D"
    )
    is_known = number % 4 != 3
    dates = {name: opens + pd.Timedelta(days=days) for name, days in WINDOW_DATES.items()}
    return {
        "window_kind": np.where(is_known, "degree-days", "unknown"),
        **{name: np.where(is_known, days.strftime("%Y-%m-%d"), "") for name, days in dates.items()},
    }


def _measure(name: str, measured: NDArray[np.float64], text: Text) -> CriterionValue:
    note = text("nearest population: Corrie Bend") if name == "climate_gap" else ""
    known = ~np.isnan(measured)
    return CriterionValue(UNITS[name], measured, measured, measured, known, (note,) * len(measured))


def _measured(sites: Sites) -> dict[str, NDArray[np.float64]]:
    patches, count = sites.patches, len(sites)
    rng = np.random.default_rng(11)
    gap = np.round(rng.uniform(0.2, 2.8, count), 4)
    gap[5::9] = np.nan
    return {
        "host_area": patches["infested_ha"].to_numpy(float),
        "host_cover": patches["cover_pct"].to_numpy(float),
        "host_around": np.round(rng.uniform(0, 24, count), 4),
        "crew_distance": patches["crew_distance_km"].to_numpy(float),
        "climate_gap": gap,
    }


def _ordered(table: pd.DataFrame, exclusions: tuple[Exclusion, ...], text: Text) -> pd.DataFrame:
    agent, role = table["agent"].iloc[0], table["role"].iloc[0]
    mine = [e for e in exclusions if (e.agent, e.role) == (agent, role)]
    by_site = {site: [e for e in mine if e.site_id == site] for site in table["site_id"]}
    table["status"] = ["left out" if by_site[site] else "ranked" for site in table["site_id"]]
    table["exclusion_codes"] = ["; ".join(e.code for e in by_site[site]) for site in table["site_id"]]
    table["reasons"] = [" ".join(e.sentence for e in by_site[site]) for site in table["site_id"]]
    table["what_would_change_it"] = [" ".join(e.remedy for e in by_site[site]) for site in table["site_id"]]
    table["cautions"] = [
        text("Permission is not known yet: call Orra Grazing Group before going.")
        if permission == "unknown"
        else ""
        for permission in table["permission"]
    ]
    table["public_cautions"] = text("The survey is old.")
    table["stop_and_ask"] = ""
    ordered = table.sort_values(
        ["status", "score_low", "site_id"], ascending=[False, False, True], kind="stable"
    )
    out = ordered["status"] == "left out"
    ordered = pd.concat([ordered[~out], ordered[out].sort_values("site_id")], ignore_index=True)
    out = ordered["status"] == "left out"
    ordered["rank"] = pd.array(
        [None if gone else number for number, gone in enumerate(out, 1)], dtype="Int64"
    )
    ordered.loc[out, ["score", "score_low", "score_high"]] = np.nan
    return ordered


def _vectors(evidence: dict[str, Evidence], text: Text) -> dict[str, gpd.GeoDataFrame]:
    districts = gpd.GeoDataFrame(
        {
            "district": [text("Lower Pell"), text("Upper Pell") + "\u200b"],
            "jurisdiction": [text("Ferrin County"), text("Orra County")],
        },
        geometry=[_district(-28_000, -500), _district(-500, 28_000)],
        crs=CRS_WORK,
    )
    roads = gpd.GeoDataFrame({"road_class": text("gravel")}, geometry=_roads(), crs=CRS_WORK, index=range(3))
    water = gpd.GeoDataFrame(
        geometry=[_roads()[1], shapely.Point(12_000, -8_000).buffer(900, quad_segs=6)], crs=CRS_WORK
    )
    places = gpd.GeoDataFrame(
        {"name": [text("Wick Ford"), text("Tarn Pass"), text("Moss Top")]},
        geometry=[shapely.Point(-3_000, 1_000), shapely.Point(9_000, 17_000), shapely.Point(-14_000, 9_000)],
        crs=CRS_WORK,
    )
    land = gpd.GeoDataFrame(
        {"class": ["reserve", "crop"]},
        geometry=[shapely.box(4_000, 6_000, 11_000, 12_000), shapely.box(-16_000, -14_000, -9_000, -9_000)],
        crs=CRS_WORK,
    )
    requests = gpd.GeoDataFrame(
        {
            "request_id": ["Q1"],
            "owner": [text("Tamsin Orrell")],
            "contact": [text("555-0142 Orrell")],
            "date": [pd.Timestamp("2026-01-12")],
        },
        geometry=[shapely.Point(0, 0)],
        crs=CRS_WORK,
    )
    every = {
        name: pd.concat([getattr(e, name) for e in evidence.values()], ignore_index=True)
        for name in ("releases", "visits")
    }
    infestations = gpd.GeoDataFrame(
        {"manager": [text(m) for m in MANAGERS]}, geometry=[shapely.Point(0, 0)] * 3, crs=CRS_WORK
    )
    return {
        "boundaries": districts,
        "roads": roads,
        "water": water,
        "places": places,
        "land_classes": land,
        "requests": requests,
        "infestations": infestations,
        **every,
    }


def _district(west_m: float, east_m: float) -> shapely.Polygon:
    northing_m = np.linspace(-20_000, 20_000, 60)
    wavy = 1_800 * np.sin(northing_m / 5_000)
    west = west_m + (wavy if west_m > -20_000 else 0 * wavy)
    east = east_m + (wavy if east_m < 20_000 else 0 * wavy)
    return shapely.Polygon(
        [*zip(west, northing_m, strict=True), *reversed(list(zip(east, northing_m, strict=True)))]
    )


def _roads() -> list[shapely.LineString]:
    easting_m = np.linspace(-28_000, 28_000, 160)
    main = shapely.LineString(
        np.column_stack([easting_m, 3_000 * np.sin(easting_m / 9_000) + 900 * np.sin(easting_m / 2_100)])
    )
    northing_m = np.linspace(-1_000, 19_000, 80)
    north = shapely.LineString(np.column_stack([7_000 + 1_500 * np.sin(northing_m / 2_600), northing_m]))
    south = shapely.LineString(np.column_stack([-11_000 + 1_700 * np.sin(northing_m / 3_100), -northing_m]))
    return [main, north, south]


def _relief(width_px: int) -> ReliefGrid:
    """Return invented hills: fractal noise shaped by frequency, with a valley through it."""
    height_px = round(width_px * 0.75)
    to_mercator = Transformer.from_crs(CRS_WORK, "EPSG:3857", always_xy=True)
    west_m, north_m = to_mercator.transform(-31_000, 22_500)
    east_m, south_m = to_mercator.transform(31_000, -22_500)
    cell_m, cell_high_m = (east_m - west_m) / width_px, (north_m - south_m) / height_px
    rng = np.random.default_rng(3)
    rows, columns = (
        np.fft.fftfreq(height_px)[:, None] * height_px,
        np.fft.fftfreq(width_px)[None, :] * width_px,
    )
    frequency = np.hypot(rows, columns)
    spectrum = np.where(frequency > 0, np.maximum(frequency, 2.0) ** -2.05, 0.0) * np.exp(
        2j * np.pi * rng.random(frequency.shape)
    )
    hills = np.real(np.fft.ifft2(spectrum))
    hills = (hills - hills.min()) / np.ptp(hills)
    across = np.linspace(-1, 1, height_px)[:, None] - 0.12 * np.sin(np.linspace(-3, 3, width_px))[None, :]
    elevation_m = 420 + 900 * hills + 520 * np.tanh(3 * np.abs(across)) * (0.4 + hills)
    elevation_m[: height_px // 12, : width_px // 10] = np.nan
    return ReliefGrid(elevation_m.astype(np.float32), Affine(cell_m, 0, west_m, 0, -cell_high_m, north_m))
