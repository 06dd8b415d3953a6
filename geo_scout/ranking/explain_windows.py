"""The windows of one site in plain lines, for the chain that explains it."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.site_windows import SiteWindows
from geo_scout.model.timing import HeatWindow, WindowTable
from geo_scout.model.window import MOMENTS

_USES: Mapping[Role, str] = {"source": "Collecting window", "release": "Receptive window"}


def explain_windows(agent: AgentProfile, windows: Mapping[Role, SiteWindows], index: int) -> str:
    """Return when an agent can be collected and received at one patch, and what the dates rest on.

    Parameters
    ----------
    agent
        The profile.
    windows
        By role.
    index
        Row of the patch.
    """
    lines = []
    for role, of_role in windows.items():
        table = agent.timing.collecting if role == "source" else agent.timing.receptive
        lines += [f"{_USES[role]} for {agent.name} ({of_role.kind[index]}):"]
        lines += [f"  {line}" for line in _lines(table, of_role, index)]
    return "\n".join(lines)


def _lines(table: WindowTable, windows: SiteWindows, index: int) -> list[str]:
    lines = _model(table.heat) if table.heat is not None else []
    dates = [
        f"{moment} {pd.Timestamp(day):%Y-%m-%d}"
        for moment, day in zip(MOMENTS, windows.dates[:, index], strict=True)
        if not np.isnat(day)
    ]
    lines += [", ".join(dates)] if dates else ["no date"]
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
