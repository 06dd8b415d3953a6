"""The backtest in plain words: what was used, what may be concluded, and what it says nothing of."""

from geo_scout.model.backtest import (
    ALL,
    DISTRICTS,
    FEWEST_OF_EACH,
    LATER,
    SCORE,
    WIDEST_HALF_SHARE,
    Assessment,
    Backtest,
)
from geo_scout.model.outcomes import PRIVATE_REASONS, REASONS
from geo_scout.model.result import Audience
from geo_scout.model.rows import each_row

UNVISITED = "not-visited"
SELECTION = (
    "Only releases that somebody looked after, and that can be told, are counted. Which those are was nobody's "
    "draw, so nothing here holds for the others."
)
HOW = (
    "AUC: how often an established release stood above a failed one; 50 % is no better than by lot.",
    "District by district: only pairs of one district. Later releases: those after the day by which half were made.",
    "Brier: squared error of the chance that a logistic curve, fitted without the district (or on the earlier "
    "half), gives each release; in brackets that of who always tells the share seen. Lower is better.",
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
        "Each site is scored with today's criteria, weights and profiles by what was known before its release.",
    ]
    for one in result.assessments:
        lines += ["", *_agent_lines(one, result, audience)]
    lines += ["", "How to read it:", *(f"- {sentence}" for sentence in (*HOW, SELECTION))]
    lines += ["", "Seen with the eyes of the day:", *(f"- {sentence}" for sentence in result.hindsight)]
    return "\n".join(lines)


def conclusion_words(one: Assessment) -> str:
    """Return what may be concluded of the score, in one or two sentences.

    Parameters
    ----------
    one
        How well one agent's releases were told.
    """
    every = one.skill[(one.skill["rule"] == SCORE) & (one.skill["split"] == ALL)].iloc[0]
    seen = (
        f"{_percent(every.auc_share)} of pairs (interval {_span(every.auc_low_share, every.auc_high_share)})"
    )
    if one.conclusion == "better":
        return f"The score told outcomes better than chance: an established release stood above a failed one in {seen}."
    if one.conclusion == "worse":
        return (
            f"The score told outcomes worse than chance: an established release stood above a failed one in {seen}. "
            "Look at the criteria before you trust the ranks."
        )
    if one.conclusion == "chance":
        return (
            f"The score told outcomes no better than chance, to within {100 * WIDEST_HALF_SHARE:.0f} of a hundred "
            f"pairs: {seen}."
        )
    return f"No conclusion is possible: {_why_none(one, seen)}. {_needed(one)}"


def _why_none(one: Assessment, seen: str) -> str:
    if min(one.established, one.failed) < FEWEST_OF_EACH:
        return f"{one.established} established and {one.failed} failed; at least {FEWEST_OF_EACH} of each are needed"
    return (
        f"an established release stood above a failed one in {seen}, which chance alone may bring about, or "
        "which does not hold within districts"
    )


def _needed(one: Assessment) -> str:
    if not one.needed_more:
        return "More releases alone would not settle it."
    return (
        f"About {one.needed_more} more releases that can be told would bring it to within "
        f"{100 * WIDEST_HALF_SHARE:.0f} of a hundred pairs, at the share seen so far."
    )


def _agent_lines(one: Assessment, result: Backtest, audience: Audience) -> list[str]:
    reasons = dict(result.reasons(one.agent))
    total, used = sum(reasons.values()), one.established + one.failed
    lines = [
        f"{one.agent}: {total} releases, {used} used: {one.established} established, {one.failed} failed",
        f"  {conclusion_words(one)}",
    ]
    if unvisited := reasons.get(UNVISITED, 0):
        verb = "was" if unvisited == 1 else "were"
        lines.append(f"  {unvisited} {verb} never visited: whoever is not looked for is not found.")
    unused = {
        code: reasons[code] for code in REASONS if code in reasons and code not in ("found", "searched")
    }
    if unused:
        lines.append("  Not used:")
        lines += [f"    {number:>4}  {_reason(code, audience)}" for code, number in unused.items()]
    if used:
        lines += _skill_lines(one)
    lines.append(f"  {one.weights_note}")
    lines += [
        f"    {row.criterion:<24} {_percent(row.weight_share):>5} ({_span(row.weight_low_share, row.weight_high_share)})"
        f", now {_percent(row.weight_now_share)}; above 0 in {_percent(row.positive_share)} of resamples"
        for row in each_row(one.weights)
    ]
    return lines


def _reason(code: str, audience: Audience) -> str:
    return "withheld" if audience == "public" and code in PRIVATE_REASONS else REASONS[code]


def _skill_lines(one: Assessment) -> list[str]:
    """Return a line per rule: AUC over all, within districts, later; and the Brier score by district."""
    lines = [
        f"  {'rule':<24} {'known':>5}  {'AUC, all (interval)':<22} {'in districts':>12} {'later':>6}  Brier by district"
    ]
    for rule, rows in one.skill.groupby("rule", sort=False):
        by_split = {row.split: row for row in each_row(rows)}
        every, within, later = by_split[ALL], by_split[DISTRICTS], by_split[LATER]
        stands = {"better": "  stands out", "worse": "  stands out the wrong way"}.get(every.conclusion, "")
        span = f"{_percent(every.auc_share)} ({_span(every.auc_low_share, every.auc_high_share)})"
        lines.append(
            f"  {rule!s:<24} {every.release_count:>5}  {span:<22} {_percent(within.auc_share):>12} "
            f"{_percent(later.auc_share):>6}  {_error(within.brier)} ({_error(within.brier_of_share)}){stands}"
        )
    rest = one.skill.loc[(one.skill["rule"] != SCORE) & (one.skill["split"] == ALL), "confidence_share"]
    lines.append(
        f"  Interval of the score and by lot: 95 %; of each other rule {100 * rest.min():.1f} %, since many are "
        "tried at once."
    )
    return lines


def _percent(share: float) -> str:
    return "-" if share != share else f"{100 * share:.0f} %"


def _span(low: float, high: float) -> str:
    return "not known" if low != low else f"{100 * low:.0f} to {100 * high:.0f} %"


def _error(brier: float) -> str:
    return "-" if brier != brier else f"{brier:.3f}"
