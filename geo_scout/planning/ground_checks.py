"""What a scout checks on the ground besides the agent: the host, the permission, what disturbs it."""

from collections.abc import Iterator
from typing import Any

import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.rows import each_row
from geo_scout.model.scouting import PERMISSION_CHECK
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites


def list_checks(candidates: pd.DataFrame, role: Role, sites: Sites, season: Season) -> list[str]:
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
    """
    disturbed = _disturbances(sites, season)
    read = candidates[["site_id", "survey_date", "survey_age_years", "permission"]]
    return ["; ".join(_checks(site, role, disturbed.get(site.site_id, ""))) for site in each_row(read)]


def _checks(site: Any, role: Role, disturbance: str) -> Iterator[str]:
    if role == "source":
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
        yield f"disturbance: {disturbance}"


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
