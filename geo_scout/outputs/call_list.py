"""Whom to call before a crew goes anywhere: permissions, land to ask about, open requests."""

from collections.abc import Mapping
from pathlib import Path

import pandas as pd

from geo_scout.model.cautions import BEFORE_YOU_GO
from geo_scout.model.criteria import Role
from geo_scout.model.result import SeasonResult
from geo_scout.model.rows import each_row
from geo_scout.outputs.csv_tables import write_csv

COLUMNS = ("agent", "role", "rank", "site_id", "name", "manager", "why", "requested_by", "contact")


def write_call_list(path: Path, result: SeasonResult, tables: Mapping[Role, pd.DataFrame]) -> None:
    """Write the ranked sites that need a call first, best rank first."""
    write_csv(path, build_call_list(result, tables))


def build_call_list(result: SeasonResult, tables: Mapping[Role, pd.DataFrame]) -> pd.DataFrame:
    """Return one row per ranked site whose manager, land or request asks for a call."""
    askers = _askers(result)
    asked_land = {
        (host, row.site_id)
        for host, sites in result.sites.items()
        for row in each_row(sites.land[sites.land["rule"] == "ask"])
    }
    host_of = {agent.name: agent.host for agent in result.season.agents}
    rows = []
    for role, table in tables.items():
        for site in each_row(table[table["status"] == "ranked"]):
            why = _why(site, (host_of[site.agent], site.site_id) in asked_land)
            if why:
                owner, contact = askers.get(site.request_ids, ("", ""))
                rows.append(
                    (site.agent, role, site.rank, site.site_id, site.name, site.manager, why, owner, contact)
                )
    return pd.DataFrame(rows, columns=list(COLUMNS)).assign(before_you_go=BEFORE_YOU_GO)


def _why(site: object, is_asked_land: bool) -> str:
    reasons = []
    if getattr(site, "permission", "") == "unknown":
        reasons.append("permission unknown")
    if is_asked_land:
        reasons.append(f"land to ask about: {getattr(site, 'land_classes', '')}")
    if getattr(site, "request_ids", ""):
        reasons.append(f"request {getattr(site, 'request_ids', '')}")
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
