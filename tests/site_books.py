"""Patches, records and books put together by hand for the tests of exclusions and ranking.

The sites room is not run: every column has a plain default, and a test states only what matters to it.
"""

import datetime as dt
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from geo_scout.exclusions import SiteBook
from geo_scout.formulas.geodesy import working_crs
from geo_scout.model.agent import AgentProfile
from geo_scout.model.evidence import Evidence
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.model.site_windows import SiteWindows
from geo_scout.model.sites import Sites

AS_OF = dt.date(2026, 11, 1)
PLANE = working_crs(-110.0, 47.0)
HOST, AGENT = "ashthorn", "stem weevil"
NO_DAY = pd.NaT
PATCH: Mapping[str, Any] = {
    "host": HOST, "name": "", "longitude_deg": -110.0, "latitude_deg": 47.0, "utm_zone": "12N",
    "easting_m": 424_000.0, "northing_m": 5_205_000.0, "gross_ha": 4.0, "infested_ha": 2.0,
    "infested_low_ha": 2.0, "infested_high_ha": 2.0, "cover_pct": 50.0, "cover_low_pct": 50.0,
    "cover_high_pct": 50.0, "survey_date": pd.Timestamp("2026-06-01"),
    "survey_date_oldest": pd.Timestamp("2026-06-01"), "survey_age_years": 0.42, "manager": "", "parcel": "",
    "district": "", "jurisdiction": "Harrowmere", "permission": "yes", "member_ids": "", "predecessors": "",
    "crew": "Yard", "crew_distance_km": 10.0, "preferred_land_pct": 0.0,
}  # fmt: skip
RECORDS: Mapping[str, Any] = {
    "population_id": "", "population_name": "", "population_distance_km": np.nan, "confirmed": False,
    "confirmed_year": np.nan, "confirmed_by": "", "latest_result": "", "release_ids": "",
    "unvisited_release_ids": "", "first_release": NO_DAY, "latest_release": NO_DAY, "request_ids": "",
    "purpose": "new", "host_around_ha": np.nan, "host_around_low_ha": np.nan,
    "host_around_high_ha": np.nan, "last_visit": NO_DAY, "state": "unlikely",
    "state_year": np.nan, "state_words": "", "presence_low_share": 0.0, "presence_share": 0.0,
    "presence_high_share": 0.0, "gap_crossed": "",
}  # fmt: skip
POPULATION: Mapping[str, Any] = {
    "name": "Ferrow bend", "site_id": "", "first_found": pd.Timestamp("2022-06-01"),
    "last_found": pd.Timestamp("2024-06-15"), "found_by": "V7", "release_ids": "", "latest_result": "found",
    "is_lost": False,
}  # fmt: skip
MEMBER: Mapping[str, Any] = {
    "gross_ha": 4.0, "cover_share": 0.5, "survey_date": pd.Timestamp("2026-06-01"), "cover_scheme": "percent",
}  # fmt: skip
SURE_LAW = [{"jurisdiction": "Harrowmere", "status": "allowed", "checked_on": dt.date(2026, 9, 1)}]


def site(site_id: str = "A-1", **given: Any) -> dict[str, Any]:
    """Return one site: the columns of its patch and of its records that matter to the test."""
    strange = set(given) - set(PATCH) - set(RECORDS) - {"geometry"}
    assert not strange, f"no such column: {strange}"
    return {"site_id": site_id, **given}


def agent(**tables: Any) -> AgentProfile:
    """Return an agent whose law is settled and whose profile asks for nothing, unless a test says so."""
    tables = {"establishment": {}, "legal_status": SURE_LAW} | tables
    establishment = {"prior_share": 0.5} | tables.pop("establishment")
    return AgentProfile.model_validate(
        {"format": 1, "name": AGENT, "host": HOST, "establishment": establishment, **tables}
    )


def season(
    profile: AgentProfile | None = None,
    rules: Mapping[str, Any] | None = None,
    layers: Mapping[str, Any] | None = None,
    criteria: Mapping[str, Any] | None = None,
    **season_keys: Any,
) -> Season:
    given = {
        "format": 1,
        "season": {"agents": ["agents/weevil.toml"], **season_keys},
        "layers": {"infestations": {"path": "weeds.gpkg"}, **(layers or {})},
        "crews": [{"name": "Yard", "base_longitude_deg": -110.0, "base_latitude_deg": 47.0}],
        "rules": rules or {},
        **({"criteria": criteria} if criteria else {}),
    }
    settings = SeasonSettings.model_validate(given)
    return Season(Path("season.toml"), settings, (profile or agent(),), AS_OF, frozenset())


def sites(
    rows: Sequence[Mapping[str, Any]],
    land: Sequence[tuple[str, str, str, float]] = (),
    treatments: Sequence[tuple[str, str, str, str, str, float]] = (),
    required: Sequence[tuple[str, str, float]] = (),
    members: Sequence[Mapping[str, Any]] = (),
) -> Sites:
    """Return the patches of rows made by ``site``; a patch without a shape is a hectare."""
    columns = {"site_id": [one["site_id"] for one in rows]}
    columns |= {name: [one.get(name, default) for one in rows] for name, default in PATCH.items()}
    forbidden = {one["site_id"]: 0.0 for one in rows}
    for site_id, _, rule, share in land:
        forbidden[site_id] += share if rule == "forbid" else 0.0
    columns["forbidden_land_share"] = list(forbidden.values())
    shapes = [one.get("geometry", square(1000.0 * n)) for n, one in enumerate(rows)]
    overlaps = pd.DataFrame(treatments, columns=["site_id", "treatment_id", "kind", "start", "end", "share"])
    pieces = [{"site_id": rows[0]["site_id"], "member_id": "M1", **MEMBER, **one} for one in members]
    return Sites(
        host=HOST,
        patches=gpd.GeoDataFrame(columns, geometry=shapes, crs=PLANE),
        members=gpd.GeoDataFrame(pieces, geometry=[shapes[0]] * len(pieces), crs=PLANE),
        land=pd.DataFrame(land, columns=["site_id", "land_class", "rule", "share"]),
        treatments=overlaps.assign(
            start=pd.to_datetime(overlaps["start"]), end=pd.to_datetime(overlaps["end"])
        ),
        required=pd.DataFrame(required, columns=["site_id", "layer", "share"]),
    )


def evidence(
    rows: Sequence[Mapping[str, Any]],
    populations: Sequence[Mapping[str, Any]] = (),
    releases: Sequence[tuple[str, str, str, str]] = (),
) -> Evidence:
    """Return the records of rows made by ``site``; a release is site, id, date and outcome."""
    table = {"site_id": [one["site_id"] for one in rows]}
    table |= {name: [one.get(name, default) for one in rows] for name, default in RECORDS.items()}
    frame = pd.DataFrame(table)
    for name in ("first_release", "latest_release"):
        frame[name] = pd.to_datetime(frame[name])
    found = pd.DataFrame(
        [{"population_id": one.get("site_id", "") or "at R9", **POPULATION, **one} for one in populations],
        columns=["population_id", *POPULATION],
    )
    let_go = pd.DataFrame(releases, columns=["site_id", "release_id", "date", "outcome"])
    let_go = let_go.assign(date=pd.to_datetime(let_go["date"]))
    nowhere = [shapely.Point(0, 0)]
    return Evidence(
        agent=AGENT,
        releases=gpd.GeoDataFrame(let_go, geometry=nowhere * len(let_go), crs=PLANE),
        visits=gpd.GeoDataFrame(geometry=[], crs=PLANE),
        populations=gpd.GeoDataFrame(found, geometry=nowhere * len(found), crs=PLANE),
        sites=frame,
    )


def book(
    *rows: Mapping[str, Any],
    role: Any = "release",
    profile: AgentProfile | None = None,
    populations: Sequence[Mapping[str, Any]] = (),
    rules: Mapping[str, Any] | None = None,
    layers: Mapping[str, Any] | None = None,
    raster_share: Mapping[str, Sequence[float]] | None = None,
    climate: Mapping[str, Sequence[float]] | None = None,
    start: dt.date | None = None,
    **overlaps: Any,
) -> SiteBook:
    """Return the book of one ranking of the given sites."""
    profile = profile or agent()
    return SiteBook(
        agent=profile,
        role=role,
        season=season(profile, rules, layers, **({"start": start} if start else {})),
        sites=sites(rows, **overlaps),
        evidence=evidence(rows, populations),
        raster_share=pd.DataFrame(raster_share or {}, index=range(len(rows))),
        climate=pd.DataFrame(climate or {}, index=range(len(rows))),
    )


def square(west_m: float, south_m: float = 0.0, size_m: float = 100.0) -> shapely.Polygon:
    return shapely.box(west_m, south_m, west_m + size_m, south_m + size_m)


def windows(count):
    """Return windows of an agent nobody has timed."""
    nowhere = np.full(count, np.datetime64("NaT", "D"))
    empty, words = np.full(count, np.nan), np.full(count, "", dtype=object)
    kind = np.full(count, "unknown", dtype=object)
    return SiteWindows(kind, np.full((4, count), nowhere), nowhere, nowhere, empty, empty, words, words)


def ground(count):
    """Return no columns of the rasters."""
    return pd.DataFrame(index=range(count))
