"""The windows of one site in plain lines, for the chain that explains it."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.site_windows import FloatArray, HeatTrace, SiteWindows
from geo_scout.model.timing import CalendarWindow, HeatWindow, WindowTable
from geo_scout.model.window import MOMENTS

_USES: Mapping[Role, str] = {"source": "Collecting window", "release": "Receptive window"}


def explain_windows(
    agent: AgentProfile,
    windows: Mapping[Role, SiteWindows],
    index: int,
    traces: Mapping[Role, HeatTrace | None],
) -> str:
    """Return when an agent can be collected and received at one patch, and what the dates rest on.

    Parameters
    ----------
    agent
        The profile.
    windows
        By role.
    index
        Row of the patch.
    traces
        By role: from temperatures to the dates; None where they do not come from the heat.
    """
    lines = []
    for role, of_role in windows.items():
        table = agent.timing.collecting if role == "source" else agent.timing.receptive
        lines += [f"{_USES[role]} for {agent.name} ({of_role.kind[index]}):"]
        lines += [f"  {line}" for line in _lines(table, of_role, index)]
        trace = traces.get(role)
        if trace is not None and table.heat is not None:
            lines += [f"  {line}" for line in _trace_lines(table.heat, trace)]
    return "\n".join(lines)


def _lines(table: WindowTable, windows: SiteWindows, index: int) -> list[str]:
    lines = _model(table.heat) if table.heat is not None else []
    if table.calendar is not None and windows.kind[index] == "calendar":
        lines += _calendar(table.calendar)
    dates = [
        f"{moment} {pd.Timestamp(day):%Y-%m-%d}"
        for moment, day in zip(MOMENTS, windows.dates[:, index], strict=True)
        if not np.isnat(day)
    ]
    lines += [", ".join(dates)] if dates else ["no date"]
    lines += _what_if(windows, index)
    seen = [f"{moment}: {words}" for moment, words in zip(MOMENTS, windows.words, strict=True) if words]
    lines += [f"to be seen: {'; '.join(seen)}"] if seen else []
    lines += [f"from {windows.basis[index]}"] if windows.basis[index] else []
    return lines + ([windows.note[index]] if windows.note[index] else [])


def _model(heat: HeatWindow) -> list[str]:
    unit = "degC" if heat.unit == "degc" else "degF"
    sums = ", ".join(
        f"{moment} {stated.value:g}"
        for moment in MOMENTS
        if (stated := getattr(heat.sums, moment)) is not None
    )
    upper = "" if heat.upper is None else f", {heat.cutoff} cutoff at {heat.upper.value:g} {unit}"
    return [
        f"degree-days above {heat.base.value:g} {unit} by {heat.method.replace('_', ' ')}{upper}, from "
        f"{heat.start}: {sums}"
    ]


def _calendar(calendar: CalendarWindow) -> list[str]:
    named = [
        f"{moment} {getattr(calendar, moment)}" for moment in MOMENTS if getattr(calendar, moment) is not None
    ]
    return [f"days of the profile: {', '.join(named)}"]


def _what_if(windows: SiteWindows, index: int) -> list[str]:
    """Return early and late openings, and what one degree would do."""
    lines = []
    early, late = windows.opens_early[index], windows.opens_late[index]
    if early < late:
        lines.append(f"opens in one year of ten by {early}, in nine of ten by {late}")
    cool, warm = windows.cool_shift_days[index], windows.warm_shift_days[index]
    if np.isfinite(cool) and np.isfinite(warm) and (cool or warm):
        lines.append(f"opens {cool:+.0f} days if it runs 1 degC cool, {warm:+.0f} if 1 degC warm")
    return lines


def _trace_lines(heat: HeatWindow, trace: HeatTrace) -> list[str]:
    """Return the days of every year, or the heat of every month, so that the dates can be done again."""
    lines = []
    if np.isfinite(trace.higher_m):
        lines.append(
            f"the place is taken to lie {trace.higher_m:+.0f} m from {trace.station}: "
            f"tmin {-trace.cooler_tmin_degc:+g}, tmax {-trace.cooler_tmax_degc:+g} degC"
        )
    if trace.seen_until is not None:
        lines.append(f"as seen to {trace.seen_until}, then as in each of the years")
    stated = [row for row, moment in enumerate(MOMENTS) if getattr(heat.sums, moment) is not None]
    if trace.years:
        lines.append(
            f"days after {heat.start}, without 29 February, on which a sum is reached in each of "
            f"{trace.years[0]} to {trace.years[-1]}:"
        )
        for row in stated:
            lines.append(f"  {MOMENTS[row]}: {_days(trace.days[row])}; middle {trace.middle[row]:.2f}")
    else:
        lines += _normal_lines(heat, trace, stated)
    if trace.example is not None:
        day, before, after = trace.example
        lines.append(f"in {day.year} the sum was {before:.2f} before and {after:.2f} after {day:%m-%d}")
    return lines


def _normal_lines(heat: HeatWindow, trace: HeatTrace, stated: list[int]) -> list[str]:
    lines = [f"heat of each month from {heat.start} on, by the normals: {_days(trace.month_heat)}"]
    if len(trace.spread_degc):
        lines.append(f"spread of daily means, January to December [degC]: {_days(trace.spread_degc)}")
    days = ", ".join(f"{MOMENTS[row]} {trace.middle[row]:.2f}" for row in stated)
    return [*lines, f"days after {heat.start} on which the sums are reached: {days}"]


def _days(values: FloatArray) -> str:
    return " ".join("-" if np.isnan(value) else f"{value:.2f}" for value in values)
