"""The page for Monday morning in words for the terminal and for print."""

import datetime as dt
from collections.abc import Sequence
from textwrap import wrap
from typing import Any

import numpy as np
import pandas as pd

from geo_scout.model.rows import each_row
from geo_scout.model.week_page import WeatherFile, WeekPage
from geo_scout.model.window import MOMENTS
from geo_scout.outputs.timing_words import CAUTION, MOMENT_WORDS, day_words, shift_words

_WIDE, _PAGE = 36, 80
_INDENT = " " * 8
_DIGEST = 12
_NAMED = 5


def tell_week(page: WeekPage) -> str:
    """Return the page: for each agent where to collect, and how many release sites can receive.

    Parameters
    ----------
    page
        What the windows do.
    """
    week = f"Week of {_long(page.monday)} and the week after"
    lines = [page.season.settings.season.title, week, f"Weather: {_file_words(page.weather)}."]
    lines.append(_compared(page))
    lines.append(f"Ranks are those of the plan of {day_words(np.datetime64(page.season.as_of))}.")
    lines += [*page.cautions, *page.questions]
    for agent in page.season.agents:
        lines += ["", *_source_lines(page, agent.name), "", *_release_lines(page, agent.name)]
    if page.findings:
        lines += ["", "In the weather files:", *(f"- {one.what}" for one in page.findings)]
    return "\n".join([*lines, "", CAUTION])


def _compared(page: WeekPage) -> str:
    """Return what dates are compared with, or that there is nothing on record."""
    if page.last_run is not None:
        behind = "no daily weather" if page.before is None else _file_words(page.before)
        return f"Compared with the last run, of {day_words(np.datetime64(page.last_run))}, by {behind}."
    if page.before is not None:
        return f"Compared with {_file_words(page.before)}."
    return (
        "Compared with nothing: no earlier run is on record. Run the season, or name the last file with "
        "--before, to see what changed."
    )


def _source_lines(page: WeekPage, agent: str) -> list[str]:
    rows, since = page.sources[agent], "weather" if page.last_run is None else "run"
    ranked, left_out = rows[rows["rank"].notna()], rows[rows["rank"].isna()]
    lines = [f"COLLECT {agent}: {_count(len(ranked), 'ranked source')}, best first"]
    busy = _busy(ranked)
    if len(busy):
        lines.append(f"  rank  {'site':<16}{'this week':<{_WIDE}}next week")
    for row in each_row(busy):
        lines.append(
            f"  {row.rank:>4}  {row.site_id:<16}{row.this_week or '-':<{_WIDE}}{row.next_week or '-'}"
        )
        ask = "permission unknown: call first" if row.permission == "unknown" else ""
        # Where and until when stays apart from what moved, so that neither is cut in the middle.
        for parts in ((row.name, row.crew, ask, _until(row)), (_doubt(row), _moved(row), row.note)):
            said = "; ".join(part for part in parts if part)
            lines += wrap(f"{_INDENT}{said}", _PAGE, subsequent_indent=_INDENT) if said else []
    lines += _idle_lines(ranked, page.monday)
    open_too = _busy(left_out)
    if len(open_too):
        named = [f"{row.site_id} ({row.codes})" for row in each_row(open_too)]
        lines.append(f"  left out of the plan, but in their window: {_listed(named)}")
    return [*lines, *_look_for(page.words[agent, "source"]), *_change_lines(ranked, since)]


def _busy(rows: pd.DataFrame) -> pd.DataFrame:
    return rows[(rows["this_week"] != "") | (rows["next_week"] != "")]


def _idle_lines(ranked: pd.DataFrame, monday: dt.date) -> list[str]:
    """Return what becomes of the sources with nothing to do in the two weeks."""
    idle = ranked[(ranked["this_week"] == "") & (ranked["next_week"] == "")]
    now, lines = np.datetime64(monday, "D"), []
    if len(later := idle[idle["opens"] >= now].sort_values(["opens", "rank"], kind="stable")):
        first = later.iloc[0]
        lines.append(
            f"  later: {_count(len(later), 'source')}, first to open {first['site_id']} on "
            f"{day_words(first['opens'])}"
        )
    if len(over := idle[idle["opens"] < now]):
        lines.append(f"  over: {_count(len(over), 'source')}")
    if len(undated := idle[idle["opens"].isna()]):
        notes = list(dict.fromkeys(note for note in undated["note"] if note))
        said = f" ({'; '.join(notes[:2])})" if notes else ""
        lines.append(f"  without a date: {_count(len(undated), 'source')}{said}")
    return lines


def _look_for(words: Sequence[str]) -> list[str]:
    said = [f"{MOMENT_WORDS[moment]}: {seen}" for moment, seen in zip(MOMENTS, words, strict=True) if seen]
    return [f"  look for: {'; '.join(said)}"] if said else []


def _change_lines(ranked: pd.DataFrame, since: str) -> list[str]:
    """Return how far openings moved that follow the heat; a calendar never moves."""
    moved = ranked.loc[ranked["kind"] == "degree-days", "opens_moved_days"].dropna()
    if moved.empty:
        return []
    if (moved == 0).all():
        return [f"  since the last {since}: no opening moved"]
    least, most = moved.min(), moved.max()
    span = shift_words(least) if least == most else f"from {shift_words(least)} to {shift_words(most)}"
    return [f"  since the last {since}: openings moved, {span}; middle {shift_words(moved.median())}"]


def _doubt(row: Any) -> str:
    """Return that the last visit did not find the agent, which a long way should not hide."""
    return str(row.latest_result) if str(row.latest_result).startswith("not found") else ""


def _until(row: Any) -> str:
    """Return when a window that is open for both weeks will close, for whoever plans further ahead."""
    if pd.isna(row.closes) or "closes" in f"{row.this_week} {row.next_week}":
        return ""
    return f"closes about {day_words(row.closes)}"


def _moved(row: Any) -> str:
    parts = []
    for moment in ("opens", "closes"):
        days = getattr(row, f"{moment}_moved_days")
        if np.isfinite(days) and days != 0:
            parts.append(f"{moment} {shift_words(days)}")
    return f"moved: {', '.join(parts)}" if parts else ""


def _release_lines(page: WeekPage, agent: str) -> list[str]:
    rows = page.release_sites[agent]
    head = f"RELEASE {agent}: {_count(len(rows), 'ranked site')}"
    dated = rows[rows["opens"].notna()]
    look_for = _look_for(page.words[agent, "release"])
    if dated.empty:
        return [f"{head}; no dates are known from which they can receive", *look_for]
    lines = [head]
    for offset, name in ((0, "this week"), (7, "next week")):
        first = np.datetime64(page.monday, "D") + offset
        ready = dated[(dated["opens"] < first + 7) & ~(dated["closes"] < first)]
        best = f": {_listed(list(ready['site_id']))}" if len(ready) else ""
        lines.append(f"  can receive {name}: {len(ready)} of {len(rows)}{best}")
    now = np.datetime64(page.monday, "D")
    later, closing = dated[dated["opens"] >= now + 14], dated[dated["closes"] >= now]
    if len(later):
        soonest, latest = day_words(later["opens"].min()), day_words(later["opens"].max())
        span = f"on {soonest}" if soonest == latest else f"from {soonest} to {latest}"
        lines.append(f"  later: {len(later)}, {span}")
    if len(closing):
        lines.append(f"  the first closes on {day_words(closing['closes'].min())}")
    if len(rows) > len(dated):
        lines.append(f"  without a date: {len(rows) - len(dated)}")
    return [*lines, *look_for]


def _file_words(file: WeatherFile) -> str:
    return f"{file.name} to {_long(file.last_day)} (sha256 {file.sha256[:_DIGEST]})"


def _long(day: dt.date) -> str:
    return f"{day:%A} {day_words(np.datetime64(day))}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(names[:_NAMED])
    return f"{shown} and {len(names) - _NAMED} more" if len(names) > _NAMED else shown
