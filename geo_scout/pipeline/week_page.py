"""The page for Monday morning: a season's plan, with its windows timed anew by the weather up to now."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.errors import InputMistakes
from geo_scout.layers.opening.digests import read_digest
from geo_scout.layers.weather import daily_weather
from geo_scout.layers.weather.stations import ONE_STATION
from geo_scout.model.criteria import Role
from geo_scout.model.exclusion import NO_SOURCE
from geo_scout.model.finding import Finding
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed
from geo_scout.model.problem import Problem
from geo_scout.model.result import SeasonResult
from geo_scout.model.site_windows import Dates, SiteWindows
from geo_scout.model.weather import DailyWeather
from geo_scout.model.week_page import WEEK_COLUMNS, EarlierRun, WeatherFile, WeekPage
from geo_scout.model.window import MOMENTS
from geo_scout.outputs import read_earlier_run
from geo_scout.pipeline.season_run import ask_about_law, run
from geo_scout.pipeline.site_times import ROLE_ORDER, time_sites
from geo_scout.pipeline.week_cautions import week_cautions
from geo_scout.timing import (
    continued_weather,
    days_moved,
    known_names,
    monday_of,
    named_like,
    strangers,
    weeks_of,
)

Windows = Mapping[tuple[str, Role], SiteWindows]


@dataclass(frozen=True)
class _Read:
    weather: DailyWeather
    own: DailyWeather
    names: Mapping[str, str]
    file: WeatherFile
    findings: tuple[Finding, ...]


def week_page(
    season_file: str | Path,
    weather: str | Path,
    *,
    before: str | Path | None = None,
    on: dt.date | None = None,
) -> WeekPage:
    """Return what the windows of a season do this week and the next.

    Parameters
    ----------
    season_file
        The season file.
    weather
        Daily weather up to now, with the columns and units of the season's own layer ``weather``. Earlier
        days of the same stations are taken from that layer.
    before
        The last weather file, to say what changed; otherwise the dates that the last run left in the season's
        outputs folder, if there was one.
    on
        A day of the week; the day after the last one of ``weather`` otherwise. Later weather is left out.

    Returns
    -------
    WeekPage
        Ranks are those of the season's plan, as of its own day; only the windows follow the weather. How old
        the legal checks are counts to the page's day.

    Raises
    ------
    InputMistakes
        The season, a profile, a layer or a weather file is wrong.
    """
    _refuse_missing([Path(one) for one in (weather, before) if one is not None])
    plan = run(season_file, write=False)
    now = _read_weather(plan, Path(weather), on)
    day = on or now.file.last_day + dt.timedelta(days=1)
    last = None if before is None else _read_weather(plan, Path(before), on)
    windows = _windows(plan, day, now.weather)
    recorded = None
    earlier: Mapping[tuple[str, Role], Dates]
    if last is not None:
        earlier = {key: one.dates for key, one in _windows(plan, day, last.weather).items()}
    else:
        recorded = read_earlier_run(plan.season.file_of(plan.season.settings.season.outputs))
        earlier = _recorded(plan, windows, recorded)
    monday = monday_of(day)
    season = replace(plan.season, as_of=day)
    agents = {agent.name: agent for agent in plan.season.agents}
    return WeekPage(
        season=plan.season,
        day=day,
        monday=monday,
        weather=now.file,
        before=last.file if last is not None else None if recorded is None else recorded.weather,
        sources={name: _rows(plan, name, "source", windows, earlier, day) for name in agents},
        release_sites={name: _rows(plan, name, "release", windows, earlier, day) for name in agents},
        words={key: one.words for key, one in windows.items()},
        findings=(*now.findings, *(() if last is None else last.findings)),
        questions=tuple(question.text() for question in ask_about_law(season, plan.sites)),
        cautions=tuple(week_cautions(plan, day, now.own, now.names, now.weather)),
        last_run=None if recorded is None else recorded.as_of,
    )


def _refuse_missing(paths: Sequence[Path]) -> None:
    what = "there is no such file in the working folder."
    fix = "check the spelling, or give the path from where you are."
    missing = [
        Problem("file-missing", str(path), None, "", what, fix) for path in paths if not path.is_file()
    ]
    if missing:
        raise InputMistakes(missing)


def _read_weather(plan: SeasonResult, path: Path, on: dt.date | None) -> _Read:
    """Return the weather of a file, continued backwards by the season's own."""
    own = plan.season.settings.layers.weather
    table = LayerTable(path=str(path)) if own is None else own.model_copy(update={"path": str(path)})
    read, noticed = daily_weather(
        table, path, on or dt.date.max, plan.season.rules.max_bad_share, on_map=False
    )
    if read is None:
        raise InputMistakes([one for one in noticed.findings if one.grade == "stop"])
    known = plan.layers.weather
    read, names = known_names(known, named_like(known, read, ONE_STATION))
    lost = strangers(known, read)
    if lost:
        stations = [] if known is None else [str(name) for name in known.stations.index]
        what = f"nobody knows where the station {listed(lost, 3)} is; the season has {listed(stations, 5)}."
        fix = "name its station as the season does, or add longitude_deg and latitude_deg."
        raise InputMistakes([Problem("station-without-place", str(path), None, "station", what, fix)])
    file = WeatherFile(str(path), read_digest(str(path), path).sha256, read.last_day)
    return _Read(continued_weather(known, read), read, names, file, tuple(noticed.findings))


def _recorded(
    plan: SeasonResult, windows: Windows, earlier: EarlierRun | None
) -> Mapping[tuple[str, Role], Dates]:
    """Return the dates the last run wrote, site by site; NaT where it had none, or there was no run."""
    dates: dict[tuple[str, Role], Dates] = {
        key: np.full(one.dates.shape, np.datetime64("NaT", "D")) for key, one in windows.items()
    }
    if earlier is None:
        return dates
    for agent in plan.season.agents:
        for role in ROLE_ORDER:
            rows = earlier.dates.query("agent == @agent.name and role == @role").set_index("site_id")
            here = rows[~rows.index.duplicated()].reindex(plan.sites[agent.host].site_ids)[list(MOMENTS)]
            dates[agent.name, role] = here.to_numpy(dtype="datetime64[D]").T
    return dates


def _windows(plan: SeasonResult, day: dt.date, weather: DailyWeather | None) -> Windows:
    assert plan.zones is not None
    season = replace(plan.season, as_of=day)
    return time_sites(season, plan.sites, plan.zones, replace(plan.layers, weather=weather)).windows


def _rows(
    plan: SeasonResult,
    agent: str,
    role: Role,
    windows: Windows,
    earlier: Mapping[tuple[str, Role], Dates],
    day: dt.date,
) -> pd.DataFrame:
    """Return ``WEEK_COLUMNS`` of one ranking: ranked sites, then confirmed sources that are left out."""
    table = plan.ranking(agent, role).table
    own, weeks = windows[agent, role], weeks_of(windows[agent, role], day)
    moved = days_moved(own.dates, earlier[agent, role])
    host = next(profile.host for profile in plan.season.agents if profile.name == agent)
    order = pd.Index(plan.sites[host].site_ids).get_indexer(pd.Index(table["site_id"]))
    columns = {
        "kind": own.kind[order],
        "this_week": weeks.this_week[order],
        "next_week": weeks.next_week[order],
        **{moment: own.dates[row, order] for row, moment in enumerate(MOMENTS)},
        "opens_moved_days": moved[MOMENTS.index("opens"), order],
        "closes_moved_days": moved[MOMENTS.index("closes"), order],
        "note": own.note[order],
    }
    kept = ["rank", "site_id", "name", "crew", "permission", "latest_result"]
    rows = table[kept].assign(codes=table["exclusion_codes"], **columns)
    is_shown = table["status"].to_numpy() == "ranked"
    if role == "source":
        is_shown |= np.array([not NO_SOURCE & set(codes.split("; ")) for codes in table["exclusion_codes"]])
    shown: pd.DataFrame = rows.loc[is_shown, list(WEEK_COLUMNS)]
    return shown.reset_index(drop=True)
