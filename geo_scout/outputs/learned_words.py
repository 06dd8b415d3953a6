"""What own catches say about a heat window, in words for the terminal."""

import numpy as np

from geo_scout.model.agent import AgentProfile
from geo_scout.model.learned import FEWEST_CATCHES, Learned
from geo_scout.model.timing import HeatWindow
from geo_scout.outputs.timing_words import CAUTION, heat_words

_WIDTH = 12


def tell_learned(agent: AgentProfile, heat: HeatWindow, station: str, learned: Learned) -> str:
    """Return the heat at each catch, the range, and the error of predicting a year from the others.

    Parameters
    ----------
    agent, heat
        Whose window, with its base, method, cutoff and start.
    station
        Whose weather.
    learned
        What the catches say.
    """
    unit = "degC" if heat.unit == "degc" else "degF"
    rows = [
        f"  {day:%Y-%m-%d}{count:>{_WIDTH},.0f}{_heat(degree_days):>{_WIDTH}}"
        for day, count, degree_days in zip(
            learned.catches["date"], learned.catches["count"], learned.catches["degree_days"], strict=True
        )
    ]
    head = f"  {'day':<10}{'caught':>{_WIDTH}}{'degree-days':>{_WIDTH}}"
    lines = [f"{agent.name}: {heat_words(heat)}; weather of {station}", "", head, *rows, ""]
    return "\n".join([*lines, *_lessons(learned, unit), "", CAUTION])


def _lessons(learned: Learned, unit: str) -> list[str]:
    found = learned.catches[(learned.catches["count"] > 0) & np.isfinite(learned.catches["degree_days"])]
    if not learned.is_enough:
        return [
            f"{len(found)} catches with a known heat are too few to learn from; {FEWEST_CATCHES} are needed. "
            "They are only listed."
        ]
    lines = [
        f"n = {len(found)} catches in {len(learned.years)} years: from {learned.least:.0f} to "
        f"{learned.most:.0f} degree-days ({unit}), middle {learned.middle:.0f}."
    ]
    lines += _brackets(learned, unit)
    if np.isfinite(learned.mean_error_days):
        each = ", ".join(
            f"{year}: {_days(error)}" for year, error in zip(learned.years, learned.error_days, strict=True)
        )
        lines.append(
            f"Each year predicted from the others: off by {learned.mean_error_days:.1f} days on average "
            f"({each})."
        )
    else:
        lines.append("All catches are of one year, so nothing can be said of how well they predict another.")
    return lines


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
