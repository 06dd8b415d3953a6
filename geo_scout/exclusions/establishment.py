"""Limits that come from the records: where the agent is, and since when."""

from collections.abc import Iterator
from typing import Any

import pandas as pd

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_below
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.presence import percent_range
from geo_scout.model.rows import each_row
from geo_scout.model.years import DAYS_PER_YEAR


def exclude_confirmed(book: SiteBook) -> Iterator[Exclusion]:
    """Yield release sites where the agent is confirmed in the patch or within ``occupied_km``.

    A site whose purpose is ``supplement`` may be occupied. A release nobody visited does not exclude.
    With ``occupied_km = 0`` only the patch itself counts, not one that touches it.
    """
    if book.role != "release":
        return
    limit_km = book.season.rules.occupied_km
    by_id = book.evidence.populations.set_index("population_id", drop=False)
    by_site = by_id[by_id["site_id"] != ""].set_index("site_id", drop=False)
    for row in each_row(book.evidence.sites[book.evidence.sites["purpose"] != "supplement"]):
        if row.confirmed:
            yield _confirmed(book, row.site_id, by_site.loc[row.site_id], 0.0)
        elif limit_km > 0 and row.population_distance_km <= limit_km:
            yield _confirmed(book, row.site_id, by_id.loc[row.population_id], row.population_distance_km)


def _confirmed(book: SiteBook, site_id: str, population: pd.Series, distance_km: float) -> Exclusion:
    limit_km = book.season.rules.occupied_km
    releases = f", release {population['release_ids']}" if population["release_ids"] else ""
    visits = population["found_by"].split("; ")
    records = f"visit{'' if len(visits) == 1 else 's'} {' and '.join(visits)}{releases}"
    since = "" if population["latest_result"] == "found" else f"; {population['latest_result']}"
    here, remedy = f"{distance_km:.3f} km away ({population['name']})", _lower_occupied_km(distance_km)
    reach = f"; your limit is {limit_km:g} km (occupied_km)"
    if population["site_id"] == site_id:
        reach = ""
        here, remedy = "in this patch", 'A request with the purpose "supplement" allows an occupied site.'
    return book.exclude(
        site_id,
        "agent-confirmed",
        f"{book.agent.name} was found {here}, last on {population['last_found']:%Y-%m-%d}{since} "
        f"({records}){reach}.",
        remedy,
        measured=distance_km,
        limit=limit_km,
        unit="km",
    )


def _lower_occupied_km(distance_km: float) -> str:
    back_km = just_below(distance_km, 3)
    to = f"below {back_km:.3f} km" if back_km > 0 else "to 0"
    return f"Lowering occupied_km {to} would bring it back."


def exclude_unconfirmed(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sources where the agent is not confirmed: worth scouting at best."""
    if book.role != "source":
        return
    for row in each_row(book.evidence.sites[~book.evidence.sites["confirmed"]]):
        yield book.exclude(
            row.site_id,
            "agent-not-confirmed",
            f"{book.agent.name} is not confirmed here: {_what_is_known(row)}; the chance that it lives here "
            f"is {percent_range(row.presence_low_share, row.presence_share, row.presence_high_share)}.",
            "A confirmed find in this patch would bring it back.",
        )


def _what_is_known(row: Any) -> str:
    latest, releases = str(row.latest_result), str(row.release_ids)
    if row.state == "lost":
        return str(row.state_words).partition(":")[0]
    if latest.startswith("found"):
        return f"{latest}, too early after the release to confirm"
    if latest:
        return latest + (f" (release {releases})" if releases else "")
    if row.unvisited_release_ids:
        return f"not visited since release {row.unvisited_release_ids}"
    if releases:
        return f"release {releases}, and no visit that counts for what lives here now"
    return "no release and no visit on record"


def exclude_too_soon(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sources whose first release is younger than the profile's ``years_to_harvest``, found or not.

    Where the agent was found before anything was put there, the release only adds to what lives there.
    """
    needed = book.agent.establishment.years_to_harvest
    if book.role != "source" or needed is None:
        return
    start = pd.Timestamp(book.field_start)
    name, years_needed = book.agent.name, float(needed.value)
    sites, populations = book.evidence.sites, book.evidence.populations
    found = populations[(populations["site_id"] != "") & ~populations["is_lost"].astype(bool)]
    first_found = pd.to_datetime(found.groupby("site_id")["first_found"].min().reindex(sites["site_id"]))
    lived_there = first_found.to_numpy() < pd.to_datetime(sites["first_release"]).to_numpy()
    for row in each_row(sites[sites["first_release"].notna() & ~lived_there]):
        years = (start - row.first_release).days / DAYS_PER_YEAR
        ready = _years_after(row.first_release, years_needed)
        if start < ready:
            yield book.exclude(
                row.site_id,
                "too-soon-after-release",
                f"first released on {row.first_release:%Y-%m-%d}, {just_below(years, 1):.1f} years before "
                f"{start:%Y-%m-%d}; {name} needs {years_needed:g} years before harvest (years_to_harvest).",
                f"It comes back on {ready:%Y-%m-%d}, for a season that starts then or later.",
                measured=years,
                limit=years_needed,
                unit="years",
            )


def _years_after(day: pd.Timestamp, years: float) -> pd.Timestamp:
    """Return the day so many years later: the same date of the calendar, then the part of a year."""
    whole = int(years)
    return day + pd.DateOffset(years=whole) + pd.Timedelta(days=round((years - whole) * DAYS_PER_YEAR))
