"""What the season says of scouting, and the list of visits that comes of it."""

from dataclasses import dataclass

import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.setting import Table, setting


class ScoutingTable(Table):
    """What a visit is worth is measured against what the season would do without it."""

    collecting_sites: int | None = setting(
        None,
        meaning="sources the season can collect at, one crew-day each; left out, as many as are worth a day",
        least=1,
        most=10000,
    )
    crew_day_releases: float | None = setting(
        None,
        meaning="releases one crew-day of collecting fills elsewhere; left out, the mean of the confirmed "
        "sources whose catch is known",
        least=0.0,
        most=10000.0,
    )
    source_releases: float | None = setting(
        None,
        meaning="releases a source without a count of its own fills where the agent is there in number; left "
        "out, the mean of the season's own catches that fill one or more",
        above=0.0,
        most=10000.0,
    )
    enough_share: float | None = setting(
        None,
        meaning="share of places with the agent that can fill a release; left out, that of the season's own "
        "catches",
        unit="share",
        least=0.0,
        most=1.0,
    )
    release_sites: int | None = setting(
        None,
        meaning="release sites the season can fill; without it their visits are not valued",
        least=1,
        most=10000,
    )
    travel_km_per_hour: float | None = setting(
        None,
        meaning="straight-line kilometres a crew gets nearer in an hour, there and back counted; without it "
        "only the hours of looking count",
        unit="km per hour",
        above=0.0,
        most=200.0,
    )


@dataclass(frozen=True)
class ScoutingList:
    """Where a visit is worth most, for one agent in one role.

    Parameters
    ----------
    agent, role
        Sources to be, or release sites.
    table
        One row per possible visit, the most worth per hour first, then those worth nothing by ``site_id``.
        Columns: ``SCOUTING_COLUMNS``.
    basis
        What the values rest on, one sentence each: what a crew-day yields elsewhere, what a source fills.
    """

    agent: str
    role: Role
    table: pd.DataFrame
    basis: tuple[str, ...] = ()


SCOUTING_COLUMNS: tuple[str, ...] = (
    "agent",
    "role",
    "visit_order",
    "site_id",
    "name",
    "longitude_deg",
    "latitude_deg",
    "state",
    "presence_low_share",
    "presence_share",
    "presence_high_share",
    "releases_if_enough",
    "enough_share",
    "visit_worth",
    "worth_unit",
    "visit_hours",
    "worth_per_hour",
    "sign",
    "methods",
    "sign_first_day",
    "sign_last_day",
    "found_share",
    "what_to_check",
    "why",
    "last_visit",
    "manager",
    "permission",
    "crew",
    "crew_distance_km",
)
"""Columns of every list of visits; what to ask and check before going follows them."""

WORTH_DECIMALS = 4
"""Decimals a worth prints with; a visit whose worth then prints as 0 is not on the list. Our choice."""

NEXT_TO_NOTHING = "a visit here changes next to nothing: "
"""Begins the reason of a visit whose worth is above 0 and prints as 0."""

LEAST_WORTH = 0.005
"""Visits worth less are next to nothing: their worth prints as 0.00. Our choice [of the list's unit]."""

PERMISSION_CHECK = "permission: unknown, ask the manager before going"
"""What is to be checked where nobody has asked yet; a public copy does not say so."""

DISTURBANCE = "disturbance: "
"""Begins what is told of treatments; a public copy leaves it out."""
