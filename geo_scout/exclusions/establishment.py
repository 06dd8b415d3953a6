"""Limits that come from the records: where the agent is, and since when."""

from collections.abc import Iterator
from typing import Any

import pandas as pd

from geo_scout.exclusions.book import SiteBook
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.rows import each_row

DAYS_PER_YEAR = 365.25


def exclude_confirmed(book: SiteBook) -> Iterator[Exclusion]:
    """Yield release sites where the agent is confirmed in the patch or within ``occupied_km``.

    A site whose purpose is ``supplement`` may be occupied. A release nobody visited does not exclude.
    """
    if book.role != "release":
        return
    limit_km = book.season.rules.occupied_km
    populations = book.evidence.populations.set_index("population_id")
    for row in each_row(book.evidence.sites):
        if row.purpose == "supplement" or not row.population_distance_km <= limit_km:
            continue
        yield _confirmed(book, row.site_id, populations.loc[row.population_id], row.population_distance_km)


def _confirmed(book: SiteBook, site_id: str, population: pd.Series, distance_km: float) -> Exclusion:
    limit_km = book.season.rules.occupied_km
    releases = f", release {population['release_ids']}" if population["release_ids"] else ""
    records = f"visit {population['found_by']}{releases}"
    here = "in this patch" if distance_km == 0 else f"{distance_km:.3f} km away ({population['name']})"
    since = "" if population["latest_result"] == "found" else f"; {population['latest_result']}"
    return book.exclude(
        site_id,
        "agent-confirmed",
        f"{book.agent.name} was found {here}, last on {population['last_found']:%Y-%m-%d}{since} "
        f"({records}); "
        f"your limit is {limit_km:g} km (occupied_km).",
        'A request with the purpose "supplement" allows an occupied site.'
        if distance_km == 0
        else f"Lowering occupied_km below {distance_km:.3f} km would bring it back.",
        measured=distance_km,
        limit=limit_km,
        unit="km",
    )


def exclude_unconfirmed(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sources where the agent is not confirmed: worth scouting at best."""
    if book.role != "source":
        return
    for row in each_row(book.evidence.sites[~book.evidence.sites["confirmed"]]):
        yield book.exclude(
            row.site_id,
            "agent-not-confirmed",
            f"{book.agent.name} is not confirmed here: {_what_is_known(row)}.",
            "A confirmed find in this patch would bring it back.",
        )


def _what_is_known(row: Any) -> str:
    latest, releases = str(row.latest_result), str(row.release_ids)
    if latest.startswith("found"):
        return f"{latest}, too early after the release to confirm"
    if latest:
        return latest + (f" (release {releases})" if releases else "")
    if releases:
        return f"release {releases} has not been visited; worth scouting"
    return "no release and no visit on record"


def exclude_too_soon(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sources whose first release is younger than the profile's ``years_to_harvest``."""
    needed = book.agent.establishment.years_to_harvest
    if book.role != "source" or needed is None:
        return
    start = pd.Timestamp(book.field_start)
    confirmed = book.evidence.sites[book.evidence.sites["confirmed"]]
    for row in each_row(confirmed[confirmed["first_release"].notna()]):
        years = (start - row.first_release).days / DAYS_PER_YEAR
        if years < needed.value:
            yield book.exclude(
                row.site_id,
                "too-soon-after-release",
                f"first released on {row.first_release:%Y-%m-%d}, {years:.1f} years before {start:%Y-%m-%d}; "
                f"{book.agent.name} needs {needed.value:g} years before harvest (years_to_harvest).",
                f"It comes back {needed.value:g} years after that release.",
                measured=years,
                limit=needed.value,
                unit="years",
            )
