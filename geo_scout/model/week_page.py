"""What the page for Monday morning says."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.finding import Finding
from geo_scout.model.season import Season

WEEK_COLUMNS = (
    "rank", "site_id", "name", "crew", "permission", "codes", "kind", "this_week", "next_week", "scout",
    "opens", "peaks", "closes", "opens_moved_days", "closes_moved_days", "note",
    "latest_result",
)  # fmt: skip


@dataclass(frozen=True)
class WeatherFile:
    """One weather file a page rests on.

    Parameters
    ----------
    name
        As it was named.
    sha256
        Digest of its bytes.
    last_day
        Last day with temperatures that is used.
    """

    name: str
    sha256: str
    last_day: dt.date


@dataclass(frozen=True)
class EarlierRun:
    """What the last run of a season left on record.

    Parameters
    ----------
    as_of
        Its day.
    weather
        The weather its dates rest on; None where it had none.
    dates
        ``agent``, ``role``, ``site_id`` and the dates of ``window.MOMENTS``.
    """

    as_of: dt.date
    weather: WeatherFile | None
    dates: pd.DataFrame


@dataclass(frozen=True)
class WeekPage:
    """What the windows of a season do this week and the next.

    Parameters
    ----------
    season
        The season.
    day, monday
        The day it is, and the first of its week.
    weather
        The weather now.
    before
        The weather that dates are compared with; None where there was none.
    last_run
        Day of the run whose recorded dates these are; None where the weather was named.
    sources
        By agent: ``WEEK_COLUMNS`` of its ranked sources, best first, then of sources with a confirmed
        population that are left out for another reason, with ``rank`` missing and ``codes`` saying why.
    release_sites
        By agent: ``WEEK_COLUMNS`` of its ranked release sites, best first.
    words
        By agent and role: what is to be seen at each of ``window.MOMENTS``.
    findings
        What was noticed in the weather files.
    questions
        Legal status that must be asked before anything moves.
    cautions
        What a reader must know of the page itself.
    """

    season: Season
    day: dt.date
    monday: dt.date
    weather: WeatherFile
    before: WeatherFile | None
    sources: Mapping[str, pd.DataFrame]
    release_sites: Mapping[str, pd.DataFrame]
    words: Mapping[tuple[str, Role], tuple[str, str, str, str]]
    findings: tuple[Finding, ...]
    questions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    last_run: dt.date | None = None
