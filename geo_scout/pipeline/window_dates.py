"""Window dates from a table of weather and a profile, without any map; and windows learned from catches."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from geo_scout.errors import InputMistakes
from geo_scout.layers.weather import daily_or_normals, dated_catches
from geo_scout.model.agent import AgentProfile
from geo_scout.model.finding import Finding
from geo_scout.model.learned import Learned
from geo_scout.model.problem import Problem
from geo_scout.model.season import LayerTable
from geo_scout.model.site_windows import SiteWindows, Temperatures
from geo_scout.model.timing import HeatWindow, WindowTable
from geo_scout.model.weather import DailyWeather
from geo_scout.season import read_profile
from geo_scout.timing import at_stations, learn, record_of, season_reference, site_windows

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
        Names, in the order of the windows.
    temperatures
        What they rest on.
    windows
        The dates.
    findings
        What was noticed in the table.
    """

    agent: AgentProfile
    table: WindowTable
    stations: tuple[str, ...]
    temperatures: Temperatures
    windows: SiteWindows
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class LearnResult:
    """What own catches say about a profile's heat window.

    Parameters
    ----------
    agent, heat
        Whose window.
    station
        The station whose weather was used.
    learned
        Heat at the catches, range and error.
    findings
        What was noticed in the tables.
    """

    agent: AgentProfile
    heat: HeatWindow
    station: str
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
        Nothing later is known; the season is the one that runs half a year after it.
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
    if read is None:
        raise InputMistakes([one for one in noticed.findings if one.grade == "stop"])
    spread = None if daily_spread_degc is None else np.broadcast_to(np.array(daily_spread_degc), (12,))
    temperatures = at_stations(read, elevation_m, spread)
    windows = site_windows(
        _table(agent, use), temperatures, season_reference(as_of, None), agent.timing.scout_days_before
    )
    names = tuple(str(name) for name in read.stations.index)
    return TimingResult(agent, _table(agent, use), names, temperatures, windows, tuple(noticed.findings))


def learn_window(
    weather: LayerTable, profile: str, catches: LayerTable, *, use: Use = "collecting", as_of: dt.date
) -> LearnResult:
    """Return what dated catches say about the heat at which an agent is there.

    Parameters
    ----------
    weather
        Daily table of one station, or of the station the catches name.
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
    agent = read_profile(profile)
    heat = _table(agent, use).heat
    read, noticed = daily_or_normals(weather, Path(weather.path), as_of)
    seen, noticed_too = dated_catches(catches, Path(catches.path))
    stops = [one for one in (*noticed.findings, *noticed_too.findings) if one.grade == "stop"]
    mistakes: list[Finding | Problem] = [*stops, *_cannot_learn(profile, use, heat is not None, read)]
    if mistakes or heat is None or not isinstance(read, DailyWeather):
        raise InputMistakes(mistakes)
    named = str(seen["station"].iloc[0])
    name = named if named in read.stations.index else str(read.stations.index[0])
    learned = learn(heat.model(), record_of(read, name), seen[["date", "count"]])
    return LearnResult(agent, heat, name, learned, (*noticed.findings, *noticed_too.findings))


def _table(agent: AgentProfile, use: Use) -> WindowTable:
    return agent.timing.collecting if use == "collecting" else agent.timing.receptive


def _cannot_learn(profile: str, use: Use, has_heat: bool, read: object) -> list[Problem]:
    problems = []
    if not has_heat:
        what = f"this profile has no [timing.{use}.heat], so nobody knows from which base heat counts."
        fix = "add base, method, start and unit; sums may be left to be learned."
        problems.append(Problem("timing-heat", profile, None, f"timing.{use}", what, fix))
    if read is not None and not isinstance(read, DailyWeather):
        what = "catches can only be compared with daily weather, and this table is monthly."
        problems.append(Problem("timing-heat", "weather", None, "", what, "give a table with a date column."))
    return problems
