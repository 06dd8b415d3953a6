"""Window dates, lessons from catches and profiles in words for the terminal."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from geo_scout.errors import Printable
from geo_scout.model.agent import AgentProfile
from geo_scout.model.site_windows import SiteWindows, YearlyDates
from geo_scout.model.timing import HeatWindow, WindowTable
from geo_scout.model.window import MOMENTS

CAUTION = (
    "Dates by heat or calendar are estimates. Look before you send a crew, and follow your permits and the "
    "advice of those who know the agent."
)
# Looked for in 2026 and not found; a shipped profile would hold nothing.
WITHOUT_CONSTANTS = ("Hadroplontus", "Chrysolina", "Urophora cardui", "Agapeta", "Longitarsus", "Larinus")
_WITHOUT_DATES = {"unknown": "window unknown", "host stage": "no dates: go by what is to be seen"}
MOMENT_WORDS = {"scout": "start scouting", "opens": "opens", "peaks": "peaks", "closes": "closes"}


def tell_windows(
    agent: AgentProfile,
    table: WindowTable,
    places: Sequence[str],
    windows: SiteWindows,
    years: Sequence[YearlyDates],
    findings: Sequence[Printable],
) -> str:
    """Return the windows at each place as lines for the terminal.

    Parameters
    ----------
    agent
        Whose windows.
    table
        The window of its profile.
    places
        Names, in the order of the windows.
    windows
        The dates.
    years
        Per place the dates in each year of its record; empty where there is none.
    findings
        What was noticed in the table of weather.
    """
    lines = [f"{agent.name} on {agent.host}", *_caution(agent)]
    if table.heat is not None:
        lines.append(f"  {heat_words(table.heat)}")
    for index, place in enumerate(places):
        lines += ["", place, *(f"  {line}" for line in window_lines(windows, index))]
        lines += _year_lines(years[index]) if years else []
    lines += [""] if any(windows.words) else []
    lines += [
        f"{MOMENT_WORDS[moment]}: {words}"
        for moment, words in zip(MOMENTS, windows.words, strict=True)
        if words
    ]
    lines += ["", *(finding.text() for finding in findings)] if findings else []
    return "\n".join([*lines, "", CAUTION])


def window_lines(windows: SiteWindows, index: int) -> list[str]:
    """Return one place's window, a line for each thing a reader needs."""
    lines = [
        f"{MOMENT_WORDS[moment]}: {day_words(windows.dates[row, index])}"
        for row, moment in enumerate(MOMENTS)
        if not np.isnat(windows.dates[row, index])
    ]
    early, late = windows.opens_early[index], windows.opens_late[index]
    # An opening that was seen is the same in every year that may follow, and a what-if no longer moves it.
    if early < late:
        lines.append(f"opens early in one year of ten: {day_words(early)}; late: {day_words(late)}")
    cool, warm = windows.cool_shift_days[index], windows.warm_shift_days[index]
    if np.isfinite(cool) and np.isfinite(warm) and (cool or warm):
        lines.append(f"1 degC cooler opens {shift_words(cool)}, 1 degC warmer {shift_words(warm)}")
    if not lines and windows.kind[index] in _WITHOUT_DATES:
        lines.append(_WITHOUT_DATES[windows.kind[index]])
    lines += [f"from: {windows.basis[index]}"] if windows.basis[index] else []
    return lines + ([f"note: {windows.note[index]}"] if windows.note[index] else [])


def _year_lines(years: YearlyDates) -> list[str]:
    """Return the dates of each year as a little table, without the moments that never have one."""
    shown = [row for row in range(len(MOMENTS)) if not np.isnat(years.dates[row]).all()]
    if not shown:
        return []
    lines = ["  year by year:", f"    {'':<6}{''.join(f'{MOMENTS[row]:<9}' for row in shown)}".rstrip()]
    for column, year in enumerate(years.years):
        days = [years.dates[row, column] for row in shown]
        said = ["-" if np.isnat(day) else f"{day.item().day} {day.item():%b}" for day in days]
        lines.append(f"    {year:<6}{''.join(f'{day:<9}' for day in said)}".rstrip())
    return lines


def day_words(day: np.datetime64) -> str:
    """Return a date as a person says it.

    >>> day_words(np.datetime64("2027-06-02"))
    '2 June 2027'
    """
    stamp = pd.Timestamp(day)
    return f"{stamp.day} {stamp:%B %Y}"


def shift_words(days: float) -> str:
    """Return a shift of a date in words.

    >>> shift_words(-5.4), shift_words(0.2), shift_words(6.0)
    ('5 days earlier', 'on the same day', '6 days later')
    """
    whole = round(abs(days))
    if whole == 0:
        return "on the same day"
    return f"{whole} day{'s' if whole > 1 else ''} {'earlier' if days < 0 else 'later'}"


def heat_words(heat: HeatWindow) -> str:
    """Return base, method, cutoff and start of a heat window in one line, with the source."""
    unit = "degC" if heat.unit == "degc" else "degF"
    upper = "" if heat.upper is None else f", {heat.cutoff} cutoff at {heat.upper.value:g} {unit}"
    source = f" ({heat.source})" if heat.source else ""
    return (
        f"heat above {heat.base.value:g} {unit}{upper}, {heat.method.replace('_', ' ')}, from "
        f"{heat.start}{source}"
    )


def tell_agents(profiles: Sequence[AgentProfile]) -> str:
    """Return the profiles that come with the package: their constants, and what nobody published."""
    parts = []
    for profile in profiles:
        lines = [
            f"{profile.name} on {profile.host}",
            *_caution(profile),
            *_window_constants(profile.timing.collecting),
        ]
        lines += [f"  {one.what}: {one.value} ({one.source})" for one in profile.timing.published]
        daylength = profile.timing.critical_daylength_hours
        if daylength is not None:
            lines.append(f"  rests below {daylength.value:g} hours of daylight ({daylength.source})")
        size = profile.release.number_per_release
        if size is not None:
            lines.append(f"  number per release: {size.value} ({size.source})")
        parts.append("\n".join(lines))
    note = (
        "Published constants only; they hold where they were measured. geo-scout agents NAME prints a "
        "profile to save and change; your own values go before these."
    )
    none = (
        f"No citable degree-day constants were found for {', '.join(WITHOUT_CONSTANTS)}: go by the calendar "
        "or by what is to be seen, and learn from your own catches (geo-scout timing --learn)."
    )
    return "\n\n".join([*parts, none, note])


def _caution(profile: AgentProfile) -> list[str]:
    return [f"  STOP AND ASK: {profile.caution}"] if profile.caution else []


def _window_constants(table: WindowTable) -> list[str]:
    lines = []
    if table.heat is not None:
        lines.append(f"  {heat_words(table.heat)}")
        for moment in MOMENTS:
            stated = getattr(table.heat.sums, moment)
            said = "no published value found"
            if stated is not None:
                said = f"{stated.value:g} degree-days ({stated.source})"
            lines.append(f"    {moment}: {said}")
    if table.calendar is not None:
        days = ", ".join(
            f"{moment} {day}" for moment in MOMENTS if (day := getattr(table.calendar, moment)) is not None
        )
        lines.append(f"  calendar: {days} ({table.calendar.source})")
    if table.heat is None:
        lines.append("  heat window: no published value found")
    if table.calendar is None and table.heat is None:
        lines.append("  calendar window: no published value found")
    if table.host_stage is not None:
        seen = "; ".join(
            f"{moment}: {words}" for moment in MOMENTS if (words := getattr(table.host_stage, moment))
        )
        lines.append(f"  to be seen: {seen} ({table.host_stage.source})")
    return lines
