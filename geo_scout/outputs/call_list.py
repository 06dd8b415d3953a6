"""Whom to call before a crew goes anywhere: permissions, land to ask about, open requests."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pandas as pd

from geo_scout.model.cautions import before_you_go
from geo_scout.model.criteria import Role
from geo_scout.model.result import SeasonResult
from geo_scout.model.rows import each_row
from geo_scout.outputs.csv_tables import write_csv

COLUMNS = (
    "agent",
    "role",
    "rank",
    "site_id",
    "name",
    "manager",
    "why",
    "requested_by",
    "contact",
    "stop_and_ask",
    "before_you_go",
)


def write_call_list(path: Path, result: SeasonResult, tables: Mapping[Role, pd.DataFrame]) -> None:
    """Write the ranked sites that need a call first, best rank first."""
    write_csv(path, build_call_list(result, tables))


def build_call_list(result: SeasonResult, tables: Mapping[Role, pd.DataFrame]) -> pd.DataFrame:
    """Return one row per site that asks for a call: ranked ones first, then requests that were left out."""
    askers = _askers(result)
    asked = _asked_land(result)
    host_of = {agent.name: agent.host for agent in result.season.agents}
    rows = []
    for role, table in tables.items():
        is_called = (table["status"] == "ranked") | ((table["request_ids"] != "") & (role == "release"))
        for site in each_row(table[is_called].sort_values("status", ascending=False, kind="stable")):
            why = _why(site, asked.get((host_of[site.agent], site.site_id), ""))
            if why:
                owner, contact = askers.get(site.request_ids, ("", ""))
                who = (site.agent, role, site.rank, site.site_id, site.name, site.manager)
                check = before_you_go(site.stop_and_ask, site.permission)
                rows.append((*who, why, owner, contact, site.stop_and_ask, check))
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _asked_land(result: SeasonResult) -> dict[tuple[str, str], str]:
    """Return, by host and site, the land classes whose rule is to ask."""
    asked: dict[tuple[str, str], str] = {}
    for host, sites in result.sites.items():
        for row in each_row(sites.land[sites.land["rule"] == "ask"]):
            part = f"{row.land_class} {row.share:.0%}"
            key = (host, row.site_id)
            asked[key] = f"{asked[key]}, {part}" if key in asked else part
    return asked


def _why(site: Any, asked_land: str) -> str:
    if site.status == "left out":
        return f"request {site.request_ids}: tell them the site is left out ({site.exclusion_codes})"
    reasons = []
    if site.permission == "unknown":
        reasons.append("permission unknown")
    if asked_land:
        reasons.append(f"land to ask about: {asked_land}")
    if site.request_ids:
        reasons.append(f"request {site.request_ids}")
    return "; ".join(reasons)


def _askers(result: SeasonResult) -> dict[str, tuple[str, str]]:
    """Return owner and contact by the text of a site's request ids."""
    requests = result.layers.vectors.get("requests")
    if requests is None:
        return {}
    people = {row.request_id: (row.owner, row.contact) for row in each_row(requests)}
    texts = {text for records in result.evidence.values() for text in records.sites["request_ids"] if text}
    joined = {}
    for text in texts:
        owners, contacts = zip(*(people[one] for one in text.split("; ")), strict=True)
        joined[text] = ("; ".join(filter(None, owners)), "; ".join(filter(None, contacts)))
    return joined
