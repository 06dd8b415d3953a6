"""The backtest in plain words: what was used, what may be concluded, and what it says nothing of."""

from typing import Any

import numpy as np

from geo_scout.formulas.area_intervals import NO_BETTER_THAN_CHANCE
from geo_scout.model.backtest import (
    ALL,
    DISTRICTS,
    FEWEST_OF_EACH,
    LARGEST,
    LATER,
    MEASURED,
    NEAREST,
    RANDOM,
    SCORE,
    SEARCHED,
    WIDEST_HALF_SHARE,
    Assessment,
    Backtest,
)
from geo_scout.model.outcomes import PRIVATE_REASONS, REASONS, UNTOLD_WORDS
from geo_scout.model.result import Audience
from geo_scout.model.rows import each_row

_WITHIN = f"{100 * WIDEST_HALF_SHARE:.0f} of a hundred pairs"
WITHOUT = {
    DISTRICTS: "among releases of one district",
    MEASURED: "among those whose measures were all known",
    SEARCHED: "among those whose visits would have told either outcome",
}
SELECTION = (
    "Selection: only releases that somebody looked after, and that can be told, are counted. Which those are "
    "was not drawn by lot, so nothing here holds for the others."
)
HOW = (
    "AUC: how often an established release stood above a failed one; 50 % is no better than by lot.",
    "In districts: only pairs of one district. Later: releases after the day by which half were made.",
    "Brier: squared error of the chance that a logistic curve, fitted on the other districts or on the "
    "earlier half, gives each release; in brackets that of who always tells their share. Lower is better; it "
    "is low, too, for a score that tells the wrong way round, since the curve then falls.",
    "A find takes less searching than a failure, and a measure that was missing counts as the worst: a "
    "conclusion must hold without those releases, and within districts, too.",
    "Releases close together tell less than their number says.",
    "Limits of the season are not applied: people chose these sites, whatever would be left out today.",
    "Constants and known populations of the profiles are today's. Where these very releases taught them, the "
    "scores know too much.",
)


def tell_backtest(result: Backtest, audience: Audience = "crew") -> str:
    """Return the backtest in words.

    Parameters
    ----------
    result
        What came of it.
    audience
        ``public`` copies do not name treatments.
    """
    season = result.season
    lines = [
        f"Backtest of {season.settings.season.title}, outcomes known on {season.as_of:%Y-%m-%d}",
        "Each site is scored by what was known before its release, by today's criteria and profiles.",
    ]
    for one in result.assessments:
        lines += ["", *_agent_lines(one, result, audience)]
    lines += ["", "How to read it:", *(f"- {sentence}" for sentence in (*HOW, SELECTION))]
    if result.hindsight:
        lines += ["", "Seen with the eyes of the day:", *(f"- {sentence}" for sentence in result.hindsight)]
    return "\n".join(lines)


def conclusion_words(one: Assessment) -> str:
    """Return what may be concluded of the score, in one or two sentences.

    Parameters
    ----------
    one
        How well one agent's releases were told.
    """
    every = _of_score(one, ALL)
    area, span = _percent(every.auc_share), _span(every.auc_low_share, every.auc_high_share)
    seen = f"an established release stood above a failed one in {area} of pairs ({span})"
    if one.conclusion == "better":
        return f"The score told outcomes better than chance: {seen}.{_later(one)}"
    if one.conclusion == "worse":
        look = "Look at the criteria before you trust the ranks."
        return f"The score told outcomes worse than chance: {seen}. {look}"
    if one.conclusion == "chance":
        return f"The score told outcomes no better than chance, to within {_WITHIN}: {seen}."
    return f"No conclusion is possible: {_why_none(one, seen)}. {_needed(one)}"


def _later(one: Assessment) -> str:
    """Return what a reader must know where the later releases alone do not bear it out."""
    later = _of_score(one, LATER)
    if later.auc_share != later.auc_share or later.auc_share > NO_BETTER_THAN_CHANCE:
        return ""
    return " Among the later releases alone that does not show."


def _why_none(one: Assessment, seen: str) -> str:
    if min(one.established, one.failed) < FEWEST_OF_EACH:
        return (
            f"{one.established} established and {one.failed} failed, and at least {FEWEST_OF_EACH} of each "
            "are needed"
        )
    if one.against:
        told = [f"{WITHOUT[name]} ({_percent(_of_score(one, name).auc_share)})" for name in one.against]
        return f"{seen}, but not clearly {' or '.join(told)}"
    return f"{seen}, which chance alone may bring about"


def _needed(one: Assessment) -> str:
    if one.needed_more is None:
        return (
            "How many releases that takes, nobody can tell before both outcomes were seen; a failure is told "
            "only by visits long enough to find what the profile's [[signs]] say can be found."
        )
    if one.against:
        return "More releases alone need not settle it."
    if not one.needed_more:
        return "More releases would narrow it."
    return (
        f"About {one.needed_more} more that can be told would settle it to within {_WITHIN}, at about the "
        "share seen so far."
    )


def _agent_lines(one: Assessment, result: Backtest, audience: Audience) -> list[str]:
    reasons = dict(result.reasons(one.agent))
    total, used = sum(reasons.values()), one.established + one.failed
    lines = [
        f"{one.agent}: {total} releases, {used} used: {one.established} established, {one.failed} failed",
        f"  {conclusion_words(one)}",
    ]
    if not total:
        lines.append("  No release on record names this agent.")
    if unvisited := result.unvisited(one.agent):
        verb = "was" if unvisited == 1 else "were"
        lines.append(
            f"  {unvisited} {verb} never visited, nor the place since: who is not looked for is not found."
        )
    unused: dict[str, int] = {}
    for code in REASONS:
        if code in reasons and code not in ("found", "searched"):
            words = told_reason(code, audience)
            unused[words] = unused.get(words, 0) + reasons[code]
    if unused:
        lines.append("  Not used:")
        lines += [f"    {number:>4}  {words}" for words, number in unused.items()]
    if one.incomplete:
        verb = "rests" if one.incomplete == 1 else "rest"
        lines.append(
            f"  {one.incomplete} of the scores used {verb} on a measure that was missing then, which counts "
            "at the least it can be."
        )
    if one.searched < used:
        lines.append(f"  Of those used, {one.searched} had visits that would have told either outcome.")
    if one.established and one.failed:
        lines += _skill_lines(one) + _calibration_lines(one)
    elif used:
        lines.append("  All that are used came out the same, so nothing tells one rule from another.")
    lines.append(f"  {one.weights_note}")
    for row in each_row(one.weights):
        span = _span(row.weight_low_share, row.weight_high_share)
        lines.append(
            f"    {row.criterion:<24} {_percent(row.weight_share):>5} ({span}), now "
            f"{_percent(row.weight_now_share)}; above 0 in {_percent(row.positive_share)} of resamples"
        )
    return lines


def told_reason(code: str, audience: Audience) -> str:
    """Return a reason in words, as an audience may read it.

    >>> told_reason("destroyed", "public")
    'nothing that was seen could tell'
    """
    return UNTOLD_WORDS if audience == "public" and code in PRIVATE_REASONS else REASONS[code]


def _skill_lines(one: Assessment) -> list[str]:
    """Return a line per rule: AUC over all, within districts, later; and the Brier score by district."""
    lines = [
        f"  {'rule':<24} {'known':>5}  {'AUC, all (interval)':<22} {'in districts':>12} {'later':>6}  "
        "Brier by district  Brier of the later"
    ]
    for rule, rows in one.skill.groupby("rule", sort=False):
        by_split = {row.split: row for row in each_row(rows)}
        every, within, later = by_split[ALL], by_split[DISTRICTS], by_split[LATER]
        stands = {"better": "  stands out", "worse": "  stands out the wrong way"}.get(every.conclusion, "")
        span = f"{_percent(every.auc_share)} ({_span(every.auc_low_share, every.auc_high_share)})"
        brier = "  ".join(
            f"{f'{_error(split.brier)} ({_error(split.brier_of_share)})':<17}" for split in (within, later)
        )
        lines.append(
            f"  {rule!s:<24} {every.release_count:>5}  {span:<22} {_percent(within.auc_share):>12} "
            f"{_percent(later.auc_share):>6}  {brier}{stands}".rstrip()
        )
    lines.append(
        f"  Intervals of the score and by lot: 95 %; of the other rules {others_sureness(one)}, since many "
        "are tried at once."
    )
    return [*lines, *_plain_rules(one), *_one_district(one)]


def _plain_rules(one: Assessment) -> list[str]:
    """Return which rules that need no tool told at least as much as the score."""
    every = one.skill[one.skill["split"] == ALL].set_index("rule")["auc_share"]
    as_good = [rule for rule in (NEAREST, LARGEST) if every[rule] >= every[SCORE]]
    if not as_good:
        return []
    told = " and ".join(f"{rule} ({_percent(every[rule])})" for rule in as_good)
    score = _percent(every[SCORE])
    return [f"  A rule that needs no tool did at least as well as the score ({score}): {told}."]


def _one_district(one: Assessment) -> list[str]:
    """Return that districts could not be held out, where there is only one."""
    if np.isfinite(_of_score(one, DISTRICTS).brier):
        return []
    return ["  All that are used lie in one district, or districts are not mapped: none could be held out."]


def _calibration_lines(one: Assessment) -> list[str]:
    """Return what was told of the score's groups against what came about, by the other part alone."""
    how = "each district by the others" if one.calibration_split == DISTRICTS else "the later by the earlier"
    falls = " (higher scores were told lower chances)" if curve_falls(one) else ""
    lines = [f"  Told and seen, {how}{falls}:"] if len(one.calibration) else []
    for row in each_row(one.calibration):
        span = _span(row.observed_low_share, row.observed_high_share)
        lines.append(
            f"    told {_percent(row.chance_share):>5}: {row.established_count} of {row.release_count} "
            f"established, {_percent(row.observed_share)} ({span})"
        )
    return lines


def others_sureness(one: Assessment) -> str:
    """Return the confidence of the intervals of all rules but the score and the lot, in percent."""
    is_other = ~one.skill["rule"].isin([SCORE, RANDOM]) & (one.skill["split"] == ALL)
    return f"{100 * one.skill.loc[is_other, 'confidence_share'].min():.1f} %"


def _of_score(one: Assessment, split: str) -> Any:
    return one.skill[(one.skill["rule"] == SCORE) & (one.skill["split"] == split)].iloc[0]


def curve_falls(one: Assessment) -> bool:
    """Return whether the chances that were fitted fall with the score: it tells the wrong way round."""
    every = _of_score(one, ALL)
    return bool(every.auc_share < NO_BETTER_THAN_CHANCE)


def _percent(share: float) -> str:
    return "-" if share != share else f"{100 * share:.0f} %"


def _span(low: float, high: float) -> str:
    return "not known" if low != low else f"{100 * low:.0f} to {100 * high:.0f} %"


def _error(brier: float) -> str:
    return "-" if brier != brier else f"{brier:.3f}"
