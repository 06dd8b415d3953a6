"""What the outcomes of one agent's releases say of the score and of every other rule."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from geo_scout.formulas.ranking_skill import calibration_table
from geo_scout.learning.conclusion import conclude, needed_more
from geo_scout.learning.rules import rules_of
from geo_scout.learning.skill import Cases, Skill, measure_lot, measure_skill
from geo_scout.learning.weights import suggest_weights
from geo_scout.model.backtest import (
    CALIBRATION_COLUMNS,
    DISTRICTS,
    ERROR_SHARE,
    LATER,
    RANDOM,
    SCORE,
    SKILL_COLUMNS,
    Assessment,
    Conclusion,
)

RELEASES_PER_GROUP, MOST_GROUPS = 8, 5
"""Groups of the calibration table: about so many releases in each, and no more groups. Our choice."""


def assess_agent(agent: str, cases: pd.DataFrame, weights_now: Mapping[str, float]) -> Assessment:
    """Return how well one agent's releases were told beforehand.

    Parameters
    ----------
    agent
        Name of the agent.
    cases
        Its releases (`case_table`); those whose label is "unused" are not used.
    weights_now
        The season's weights by criterion, summing to one [share].
    """
    used = cases[cases["label"] != "unused"].reset_index(drop=True)
    told = Cases.of(used)
    rules = rules_of(used, list(weights_now))
    # The score alone is what is asked about; the others share one chance of a false alarm (Bonferroni).
    sure = {name: 1 - ERROR_SHARE / (1 if name == SCORE else max(len(rules) - 1, 1)) for name in rules}
    skills = {
        name: measure_skill(value, told if name == SCORE else told.all_measured, sure[name])
        for name, value in rules.items()
    }
    found = {name: _conclude(name, one) for name, one in skills.items()}
    conclusions = {name: conclusion for name, (conclusion, _) in found.items()}
    skills[RANDOM] = measure_lot(told)
    calibration, split = _calibration(skills[SCORE])
    values = {name: rules[name][told.searched] for name in weights_now}
    weights, note = suggest_weights(agent, values, told.established[told.searched], weights_now)
    established = int(told.established.sum())
    failed = len(used) - established
    return Assessment(
        agent=agent,
        skill=_skill_table(agent, skills, conclusions),
        calibration=calibration,
        calibration_split=split,
        conclusion=conclusions[SCORE],
        established=established,
        failed=failed,
        needed_more=needed_more(established, failed),
        against=found[SCORE][1],
        incomplete=int((~told.measured).sum()),
        searched=int(told.searched.sum()),
        weights=weights,
        weights_note=note,
    )


def _conclude(rule: str, skills: list[Skill]) -> tuple[Conclusion, tuple[str, ...]]:
    checks = {one.split: one.check for one in skills if one.check is not None}
    return conclude(skills[0].area, checks, is_main=rule == SCORE)


def _skill_table(
    agent: str, skills: Mapping[str, list[Skill]], conclusions: Mapping[str, Conclusion]
) -> pd.DataFrame:
    rows = [
        {
            "agent": agent,
            "rule": rule,
            "split": one.split,
            "release_count": one.count,
            "established_count": one.successes,
            "missing_count": one.missing,
            "auc_share": one.area.area,
            "auc_low_share": one.area.low,
            "auc_high_share": one.area.high,
            "confidence_share": one.confidence,
            "brier": one.brier,
            "brier_of_share": one.brier_of_share,
            "conclusion": conclusions.get(rule, "") if number == 0 else "",
        }
        for rule, of_rule in skills.items()
        for number, one in enumerate(of_rule)
    ]
    return pd.DataFrame(rows, columns=list(SKILL_COLUMNS))


def _calibration(skills: list[Skill]) -> tuple[pd.DataFrame, str]:
    """Return what was told against what came about, held out by district or, with one district, by time."""
    by_split = {one.split: one for one in skills}
    told = next((by_split[name] for name in (DISTRICTS, LATER) if len(by_split[name].chance)), None)
    if told is None:
        return pd.DataFrame(columns=list(CALIBRATION_COLUMNS)), ""
    groups = int(np.clip(len(told.chance) // RELEASES_PER_GROUP, 1, MOST_GROUPS))
    table = calibration_table(told.chance, told.established, groups)
    columns = (
        table.count,
        table.came_about,
        table.chance_share,
        table.observed_share,
        table.observed_low_share,
        table.observed_high_share,
    )
    return pd.DataFrame(dict(zip(CALIBRATION_COLUMNS, columns, strict=True))), told.split
