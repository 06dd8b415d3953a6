"""What own catches say about a heat window, in words for the terminal."""

import numpy as np

from geo_scout.model.agent import AgentProfile
from geo_scout.model.learned import FEWEST_CATCHES, Learned
from geo_scout.model.timing import HeatWindow
from geo_scout.outputs.timing_words import CAUTION, heat_words

_WIDTH = 12


def tell_learned(agent: AgentProfile, heat: HeatWindow, learned: Learned) -> str:
    """Return the heat at each catch, the range, and the error of predicting a year from the others.

    Parameters
    ----------
    agent, heat
        Whose window, with its base, method, cutoff and start.
    learned
        What the catches say.
    """
    unit = "degC" if heat.unit == "degc" else "degF"
    lines = [f"{agent.name}: {heat_words(heat)}"]
    for station, own in learned.catches.groupby("station", sort=False):
        lines += ["", f"  {'day':<10}{'caught':>{_WIDTH}}{'degree-days':>{_WIDTH}}  weather of {station}"]
        lines += [
            f"  {day:%Y-%m-%d}{count:>{_WIDTH},.0f}{_heat(degree_days):>{_WIDTH}}"
            for day, count, degree_days in zip(own["date"], own["count"], own["degree_days"], strict=True)
        ]
    return "\n".join([*lines, "", *_lessons(learned, unit), "", CAUTION])


def _lessons(learned: Learned, unit: str) -> list[str]:
    count = len(learned.found)
    if not learned.is_enough:
        verb = "catch with a known heat is" if count == 1 else "catches with a known heat are"
        return [f"{count} {verb} too few to learn from; {FEWEST_CATCHES} are needed. They are only listed."]
    years = f"{learned.years} year{'s' if learned.years > 1 else ''}"
    least, middle, most = (f"{one:.0f}" for one in (learned.least, learned.middle, learned.most))
    lines = [
        f"n = {count} catches in {years}: from {least} to {most} degree-days ({unit}).",
        f"Half of a year's catch, by the numbers caught, is in at {middle}{_mean_of(learned)}.",
    ]
    lines += _brackets(learned, unit)
    if learned.years > 1:
        several = len({station for station, _ in learned.seasons}) > 1
        each = ", ".join(
            f"{year}{f' at {station}' if several else ''}: {_days(error)}"
            for (station, year), error in zip(learned.seasons, learned.error_days, strict=True)
        )
        mean = learned.mean_error_days
        off = "no year could be predicted" if np.isnan(mean) else f"off by {mean:.1f} days on average"
        lines.append(
            f"The day by which half of a year's catch is in, predicted from the other years: {off} ({each})."
        )
    else:
        lines.append("All catches are of one year, so nothing can be said of how well they predict another.")
    sums = f"sums = {{opens = {least}, peaks = {middle}}}"
    lines.append(
        f"To use them, write into your own profile: {sums}. The first may have come unseen. The last one "
        "caught is no closing: add closes = N, the sum at which you want collecting to end."
    )
    return lines


def _mean_of(learned: Learned) -> str:
    number = len(learned.seasons)
    return f" (mean of {number} seasons)" if number > 1 else ""


def _brackets(learned: Learned, unit: str) -> list[str]:
    """Return between which heats the first appeared and the last went, from visits that caught none."""
    known = learned.catches[np.isfinite(learned.catches["degree_days"])]
    none = known.loc[known["count"] == 0, "degree_days"]
    before, after = none[none < learned.least], none[none > learned.most]
    lines = []
    if len(before):
        lines.append(
            f"The first appeared between {before.max():.0f} (none caught) and {learned.least:.0f} ({unit})."
        )
    if len(after):
        lines.append(f"The last went between {learned.most:.0f} and {after.min():.0f} (none caught).")
    return lines or ["No visit caught none, so nobody knows how much earlier they begin or later they end."]


def _heat(degree_days: float) -> str:
    return f"{degree_days:.0f}" if np.isfinite(degree_days) else "unknown"


def _days(error: float) -> str:
    if not np.isfinite(error):
        return "not reached"
    return f"{error:+.0f} days"
