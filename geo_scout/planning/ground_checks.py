"""What a scout checks on the ground besides the agent: the host, the permission, what disturbs it."""

from collections.abc import Iterator, Sequence
from typing import Any

import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.rows import each_row
from geo_scout.model.scouting import DISTURBANCE, PERMISSION_CHECK
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites

ASK_FIRST = " (ask when and with what before going, and keep to the re-entry time on the label)"


def list_checks(
    candidates: pd.DataFrame, role: Role, sites: Sites, season: Season, is_counted: Sequence[bool]
) -> list[str]:
    """Return what to check at each site, one text each.

    Parameters
    ----------
    candidates
        From `find_candidates`.
    role
        Sources are also counted; release sites are looked over for the agent.
    sites
        Treatments on record, past and planned.
    season
        The clock, which tells what is planned from what was done.
    is_counted
        For each candidate, whether what is looked for can be counted as a catch.
    """
    disturbed = _disturbances(sites, season)
    read = candidates[["site_id", "survey_date", "survey_age_years", "permission"]]
    return [
        "; ".join(_checks(site, role, disturbed.get(site.site_id, ""), counted))
        for site, counted in zip(each_row(read), is_counted, strict=True)
    ]


def _checks(site: Any, role: Role, disturbance: str, is_counted: bool) -> Iterator[str]:
    if role == "source" and is_counted:
        yield "count the agents and note the hours, so that the supply is known"
    else:
        yield "whether the agent lives here already"
    if pd.isna(site.survey_date):
        yield "whether the host still grows here and how much (survey without a date)"
    else:
        years = max(0, round(site.survey_age_years))
        age = "less than a year" if years == 0 else "a year" if years == 1 else f"{years} years"
        yield f"whether the host still grows here and how much (surveyed {age} ago)"
    if site.permission == "unknown":
        yield PERMISSION_CHECK
    if disturbance:
        ask = ASK_FIRST if "planned" in disturbance or "under way" in disturbance else ""
        yield f"{DISTURBANCE}{disturbance}{ask}"


def _disturbances(sites: Sites, season: Season) -> dict[str, str]:
    """Return by site the treatments on it, planned ones first, then the newest."""
    as_of = pd.Timestamp(season.as_of)
    texts: dict[str, list[str]] = {}
    ordered = sites.treatments.sort_values(["end", "treatment_id"], ascending=[False, True], kind="stable")
    for row in each_row(ordered):
        told = (
            f"planned {row.start:%Y-%m-%d}"
            if row.start > as_of
            else f"under way until {row.end:%Y-%m-%d}"
            if row.end >= as_of
            else f"{row.end:%Y-%m-%d}"
        )
        texts.setdefault(row.site_id, []).append(f"{row.kind} {row.treatment_id}, {told}")
    return {site_id: " and ".join(ones) for site_id, ones in texts.items()}
