"""Window dates from a table of weather and a profile, without any map; and windows learned from catches."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

import numpy as np
import pandas as pd

from geo_scout.errors import InputMistakes
from geo_scout.layers.weather import daily_or_normals, dated_catches
from geo_scout.model.agent import AgentProfile
from geo_scout.model.finding import Finding
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.learned import Learned
from geo_scout.model.listed import listed
from geo_scout.model.problem import Problem
from geo_scout.model.site_windows import SiteWindows, Temperatures, YearlyDates
from geo_scout.model.timing import HeatWindow, WindowTable
from geo_scout.model.weather import DailyWeather, StationNormals
from geo_scout.season import read_profile
from geo_scout.timing import (
    at_stations,
    dates_by_year,
    learn,
    next_where_closed,
    record_of,
    season_reference,
    site_windows,
    with_cautions,
)

Use = Literal["collecting", "receptive"]


@dataclass(frozen=True)
class TimingResult:
    """Windows at the stations of a table.

    Parameters
    ----------
    agent
        The profile.
    table
        Its window for collecting, or for receiving.
    stations
        Names, in the order of the windows, with the elevation asked about where it is not their own.
    windows
        The dates.
    years
        Per station the dates in each year of its record; empty without heat window or daily weather.
    findings
        What was noticed in the table.
    """

    agent: AgentProfile
    table: WindowTable
    stations: tuple[str, ...]
    windows: SiteWindows
    years: tuple[YearlyDates, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class LearnResult:
    """What own catches say about a profile's heat window.

    Parameters
    ----------
    agent, heat
        Whose window.
    learned
        Heat at the catches, range and error.
    findings
        What was noticed in the tables.
    """

    agent: AgentProfile
    heat: HeatWindow
    learned: Learned
    findings: tuple[Finding, ...]


def time_windows(
    weather: LayerTable,
    profile: str,
    *,
    use: Use = "collecting",
    as_of: dt.date,
    elevation_m: float | None = None,
    daily_spread_degc: Sequence[float] | None = None,
) -> TimingResult:
    """Return the windows of one agent at the stations of a daily or monthly table.

    Parameters
    ----------
    weather
        The table; its path is taken from the working folder.
    profile
        Path of an agent profile, or the name of one that comes with the package.
    use
        ``collecting`` or ``receptive``.
    as_of
        The day it is: nothing later is known, and the window under way then, or the next one, is meant;
        of one that has closed the note says when.
    elevation_m
        Elevation asked about, where it is not the station's own [m].
    daily_spread_degc
        Standard deviation of daily means within each month: one number or twelve, for normals [degC].

    Raises
    ------
    InputMistakes
        The table or the profile is wrong.
    """
    agent = read_profile(profile)
    read, noticed = daily_or_normals(weather, Path(weather.path), as_of)
    stops = [one for one in noticed.findings if one.grade == "stop"]
    mistakes: list[Finding | Problem] = [*stops, *_cannot_bring(read, elevation_m)]
    if mistakes or read is None:
        raise InputMistakes(mistakes)
    spread = None if daily_spread_degc is None else np.broadcast_to(np.array(daily_spread_degc), (12,))
    temperatures = at_stations(read, elevation_m, spread)
    table, reference = _table(agent, use), season_reference(as_of, None)
    scout_days_before = agent.timing.scout_days_before
    windows = site_windows(table, temperatures, reference, scout_days_before)
    windows = next_where_closed(windows, table, temperatures, as_of, scout_days_before)
    if not table.has_window:
        windows = replace(windows, note=np.full(len(temperatures), _no_window(agent, use), dtype=object))
    return TimingResult(
        agent,
        table,
        tuple(f"{name}{_at(elevation_m)}" for name in read.stations.index),
        with_cautions(windows, agent.timing, temperatures.latitude_deg, reference),
        _by_year(table.heat, read, temperatures),
        tuple(noticed.findings),
    )


def _at(elevation_m: float | None) -> str:
    """Return the elevation asked about, behind a station's name."""
    return "" if elevation_m is None else f", brought to {elevation_m:g} m"


def _no_window(agent: AgentProfile, use: Use) -> str:
    other: Use = "receptive" if use == "collecting" else "collecting"
    there = f"; it has one for --use {other}" if _table(agent, other).has_window else ""
    return f"the profile has no window for --use {use} (timing.{use}){there}"


def _by_year(
    heat: HeatWindow | None, read: DailyWeather | StationNormals, temperatures: Temperatures
) -> tuple[YearlyDates, ...]:
    if heat is None or not isinstance(read, DailyWeather):
        return ()
    return dates_by_year(heat, temperatures)


def learn_window(
    weather: LayerTable, profile: str, catches: LayerTable, *, use: Use = "collecting", as_of: dt.date
) -> LearnResult:
    """Return what dated catches say about the heat at which an agent is there.

    Parameters
    ----------
    weather
        Daily table of one station, or of the stations the catches name.
    profile
        Path or name of a profile with a heat window: its base, method, cutoff and start are used.
    catches
        Table of dates and counts, zeros included.
    use, as_of
        As in `time_windows`.

    Raises
    ------
    InputMistakes
        A table or the profile is wrong, or the profile has no heat window.
    """
    agent = read_profile(profile, sums_needed=False)
    heat = _table(agent, use).heat
    read, noticed = daily_or_normals(weather, Path(weather.path), as_of)
    seen, noticed_too = dated_catches(catches, Path(catches.path))
    findings = (*noticed.findings, *noticed_too.findings)
    mistakes: list[Finding | Problem] = [one for one in findings if one.grade == "stop"]
    mistakes += _cannot_learn(profile, use, has_heat=heat is not None, read=read, weather=weather.path)
    if not mistakes and isinstance(read, DailyWeather):
        seen, unknown = _at_stations(seen, read, catches.path)
        mistakes += unknown
    if mistakes or heat is None or not isinstance(read, DailyWeather):
        raise InputMistakes(mistakes)
    records = {name: record_of(read, name) for name in seen["station"].unique()}
    return LearnResult(agent, heat, learn(heat.model(), records, seen), findings)


def _at_stations(
    catches: pd.DataFrame, weather: DailyWeather, path: str
) -> tuple[pd.DataFrame, list[Problem]]:
    """Return the catches with their stations named as the weather names them, and what is unclear."""
    known = {folded(str(name)): str(name) for name in weather.stations.index}
    only = next(iter(known.values())) if len(known) == 1 else None
    written = catches["station"].unique()
    found = {name: known.get(folded(name), only if not name else None) for name in written}
    lost = [name or "(blank)" for name, there in found.items() if there is None]
    if not lost:
        return catches.assign(station=catches["station"].map(found)), []
    what = f"the weather has no station {listed(lost, 3)}; it has {listed(list(known.values()), 5)}."
    fix = "name one of them in the column station, for every catch."
    return catches, [Problem("station-unknown", path, None, "station", what, fix)]


def _table(agent: AgentProfile, use: Use) -> WindowTable:
    return agent.timing.collecting if use == "collecting" else agent.timing.receptive


def _cannot_bring(read: DailyWeather | StationNormals | None, elevation_m: float | None) -> Iterator[Problem]:
    if read is None or elevation_m is None:
        return
    flat = [str(name) for name in read.stations.index[read.stations["elevation_m"].isna()]]
    if flat:
        who = listed(flat, 3)
        what = f"nobody knows how high {who} stands, so it cannot be brought to another elevation."
        fix = "add a column elevation_m with the station's own elevation, in metres."
        yield Problem("station-without-elevation", "--elevation-m", None, "", what, fix)


def _cannot_learn(profile: str, use: Use, *, has_heat: bool, read: object, weather: str) -> Iterator[Problem]:
    if not has_heat:
        what = f"this profile has no [timing.{use}.heat], so nobody knows from which base heat counts."
        fix = "add base, method, start and unit; sums may be left to be learned."
        yield Problem("timing-heat", profile, None, f"timing.{use}", what, fix)
    if read is not None and not isinstance(read, DailyWeather):
        what = "catches can only be compared with daily weather, and this table is monthly."
        yield Problem("timing-heat", weather, None, "", what, "give a table with a date column.")
