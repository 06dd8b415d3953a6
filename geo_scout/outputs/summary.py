"""What the console says at the end of a run."""

from collections import Counter
from typing import Any

import pandas as pd

from geo_scout.model.cautions import STANDING_CAUTIONS
from geo_scout.model.columns import LAYERS
from geo_scout.model.combination import method_words
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.model.rows import each_row
from geo_scout.outputs.scouting import scouting_lines

CLIMATE_LAYERS = ("bioclim", "tmin", "tmax", "precipitation")
_CAUTIONS_SHOWN = 6
VISITS_TOLD = 5
"""Most visits of one list told on the console."""
ROLE_TITLES = {"source": "Collection sources", "release": "Release sites"}


def summarise(result: SeasonResult) -> str:
    """Return the run in words: the best sites of each ranking, what was left out, what to ask."""
    lines = [f"{result.season.settings.season.title}, as of {result.season.as_of:%Y-%m-%d}", ""]
    lines += [question.text() for question in result.questions]
    for ranking in result.rankings:
        lines += ["", *_ranking_lines(ranking, result)]
    for scouting in result.scouting:
        lines += ["", *scouting_lines(scouting, min(VISITS_TOLD, result.season.settings.ranking.top_n))]
    lines += ["", *_findings_line(result), *_off_lines(result), "", "Before anyone goes:"]
    lines += [f"- {caution}" for caution in STANDING_CAUTIONS]
    return "\n".join(lines)


def _ranking_lines(ranking: Ranking, result: SeasonResult) -> list[str]:
    ranked, left_out = ranking.ranked, ranking.left_out
    top = ranked.head(result.season.settings.ranking.top_n)
    title = f"{ROLE_TITLES[ranking.role]} for {ranking.agent}"
    lines = [f"{title}: {len(ranked)} ranked, {len(left_out)} left out", *_how_lines(ranking)]
    if len(top):
        title = "  rank  likely     score   site                infested    cover  nearest crew / name"
        lines.append(title)
    for row in each_row(top):
        place = f"{row.crew} / {row.name}" if row.name else row.crew
        infested, cover = _number(row.infested_ha, 2, " ha"), _number(row.cover_pct, 1, " %")
        mark = "*" if row.score_high > row.score_low else " "
        lines.append(
            f"  {row.rank:>4}  {_likely(row):>6}  {row.score:>8.4f}{mark}  {row.site_id:<16}  "
            f"{infested:>10}  {cover:>7}  {place}{_yield(row)}{_warning(row)}"
        )
    if (top["score_high"] > top["score_low"]).any():
        lines.append("  * not everything was measured: the score may be higher; ranked by its lower end")
    if ranking.robustness is not None and len(top):
        lines.append(
            f"  likely: the rank in nine of ten draws of weights and data with no limit against it, of "
            f"{ranking.robustness.draws}"
        )
    lines += [*_method_line(ranking), *_window_line(ranked)]
    codes = Counter(code for codes in left_out["exclusion_codes"] for code in codes.split("; "))
    if codes:
        lines.append("  left out by: " + ", ".join(f"{code} {count}" for code, count in codes.most_common()))
    return lines


def _likely(row: Any) -> str:
    """Return the rank interval of a line; nothing where ranks were not drawn."""
    low, high = getattr(row, "rank_low", pd.NA), getattr(row, "rank_high", pd.NA)
    if pd.isna(low) or pd.isna(high):
        return ""
    return f"{low}" if low == high else f"{low}-{high}"


def _how_lines(ranking: Ranking) -> list[str]:
    """Return how the weights and the scores came about, where it is not the plainest way."""
    weighing = ranking.weighing
    lines = []
    if weighing is not None and (weighing.groups or weighing.consistency or weighing.ranks_of_importance):
        lines.append(f"  weights: {weighing.how}")
    lines += [
        f"  consistency ratio of the judgements{f' inside {note.about}' if note.about else ''}: "
        f"{note.ratio:.3f} ({note.table}{'' if note.is_accepted else '; NOT accepted, see findings.csv'})"
        for note in (weighing.consistency if weighing is not None else ())
    ]
    if ranking.method != "weighted_sum":
        lines.append(f"  combined by {method_words(ranking.method, ranking.attitude)}")
    return lines


def _method_line(ranking: Ranking) -> list[str]:
    """Return how many of the first sites every method agrees on."""
    comparison = ranking.comparison
    if comparison is None or len(comparison.ranks) <= comparison.top_n:
        return []
    first = comparison.ranks.head(comparison.top_n)
    stay = int((first["worst_rank"] <= comparison.top_n).sum())
    told = f"by every method of combining {stay} of the first {comparison.top_n} stay there; see methods.csv"
    return [f"  {told}"]


def _yield(row: Any) -> str:
    """Return how many releases a source could fill; nothing for release sites, and where nobody knows."""
    if row.role != "source" or pd.isna(getattr(row, "releases", float("nan"))):
        return ""
    return f", fills {row.releases:.1f} releases ({row.releases_low:.1f} to {row.releases_high:.1f})"


def _window_line(ranked: pd.DataFrame) -> list[str]:
    """Return when the first and the last of the ranked sites open; nothing where no date is known."""
    dated = ranked[ranked["window_opens"].notna()].sort_values(["window_opens", "rank"], kind="stable")
    if dated.empty:
        return []
    first, last = dated.iloc[0], dated.iloc[-1]
    told = f"  windows open from {_day(first['window_opens'])} ({first['site_id']})"
    if first["window_opens"] < last["window_opens"]:
        told += f" to {_day(last['window_opens'])} ({last['site_id']})"
    unknown = len(ranked) - len(dated)
    return [told + (f"; {unknown} without a date" if unknown else "")]


def _day(day: pd.Timestamp) -> str:
    return f"{day.day} {day:%B %Y}"


def _warning(row: Any) -> str:
    """Return what a source's line must not hide: the agent was confirmed once and not found since."""
    is_doubtful = row.role == "source" and row.latest_result.startswith("not found")
    return f"  ({row.latest_result})" if is_doubtful else ""


def _off_lines(result: SeasonResult) -> list[str]:
    """Return what this season cannot know, because it has no layer for it."""
    given = result.season.settings.layers.given()
    climate = "bioclim" in given or {"tmin", "tmax", "precipitation"} <= set(given)
    off = [
        f"- {name}: {kind.without}"
        for name, kind in LAYERS.items()
        if name not in given and not (climate and name in CLIMATE_LAYERS)
    ]
    return ["", "Off in this season, for want of a layer:", *off] if off else []


def _number(value: float, decimals: int, unit: str) -> str:
    return "unknown" if pd.isna(value) else f"{value:.{decimals}f}{unit}"


def _findings_line(result: SeasonResult) -> list[str]:
    counts = Counter(finding.grade for finding in result.findings)
    if not counts:
        return ["Nothing was noticed in the layers."]
    said = ", ".join(f"{counts[grade]} {grade}" for grade in ("stop", "caution", "note") if counts[grade])
    whole = [one for one in result.findings if one.grade == "caution" and not one.feature]
    lines = [f"Noticed in the layers: {said}; see findings.csv."]
    lines += [f"- {finding.layer}: {finding.what}" for finding in whole[:_CAUTIONS_SHOWN]]
    if len(whole) > _CAUTIONS_SHOWN:
        lines.append(f"- and {len(whole) - _CAUTIONS_SHOWN} more about whole layers")
    return lines
