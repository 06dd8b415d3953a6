"""What a source could yield this season, step by step."""

from typing import Any

import pandas as pd

from geo_scout.formulas.supply import count_interval
from geo_scout.model.agent import AgentProfile
from geo_scout.model.evidence import Evidence
from geo_scout.model.rows import each_row


def explain_supply(evidence: Evidence, agent: AgentProfile, index: int) -> str:
    """Return how the supply of one patch came about, or what is missing to say it.

    Parameters
    ----------
    evidence
        The agent's records.
    agent
        Its profile: hours, ageing, what may be taken, how many make a release.
    index
        Row of the patch.
    """
    row = next(each_row(evidence.supply.iloc[[index]]))
    lines = [f"What it could yield of {evidence.agent}:", f"  {row.supply_note}"]
    if not pd.isna(row.supply):
        lines += _steps(row, agent)
    if not pd.isna(row.patch_total):
        lines.append(
            f"  on the whole patch, from a count on a known area: {row.patch_total:,.0f} agents "
            f"({row.patch_total_low:,.0f} to {row.patch_total_high:,.0f})"
        )
    return "\n".join(lines)


def _steps(row: Any, agent: AgentProfile) -> list[str]:
    collecting, number = agent.collecting, agent.release.number_per_release
    assert collecting.hours_on_site is not None
    assert collecting.widening_per_yr is not None
    assert collecting.max_take is not None
    halving = collecting.halving_years
    ages = "" if halving is None else f" x 2^(-{row.catch_age_years:.4f} / {halving.value:g})"
    if row.catch_per_hour == 0:
        return [
            f"  none caught: best 0 agents, at most {row.supply_high:.1f} by the 95 % limit of a count of 0 "
            f"({count_interval(0)[1]:.2f} in the same hours), aged and widened likewise"
        ]
    lines = [
        f"  {row.catch_per_hour:.4f} per person-hour x {collecting.hours_on_site.value:g} h{ages} = "
        f"{row.supply:.1f} agents ({row.supply_low:.1f} to {row.supply_high:.1f}: over and times "
        f"{collecting.widening_per_yr.value:g}^{row.catch_age_years:.4f}, each at most "
        f"{collecting.max_take.value:g}, max_take)"
    ]
    if number is not None:
        lines.append(
            f"  at {number.value:g} a release: {row.releases:.2f} releases ({row.releases_low:.2f} to "
            f"{row.releases_high:.2f}), {row.hours_per_release:.1f} person-hours each"
        )
    return lines
