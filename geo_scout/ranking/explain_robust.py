"""How sure a site's rank is, why it is here and what would change it, with the figures they rest on."""

from collections.abc import Iterator

import numpy as np
import pandas as pd

from geo_scout.formulas.draw_error import standard_error
from geo_scout.model.ranking import Ranking
from geo_scout.model.robustness import Robustness
from geo_scout.model.rows import each_row
from geo_scout.ranking.changes import change_sentence
from geo_scout.ranking.ranked_values import RankedValues, ranked_values
from geo_scout.ranking.score import score_sites
from geo_scout.ranking.words import why_here

_TOLD = ["rank", "score", "rank_low", "rank_high", "top_n_share", "eligible_share", "beats_next_share"]


def explain_robustness(ranking: Ranking, site_id: str) -> str:
    """Return how sure one site's rank is; empty where nothing was drawn, or no draw lets the site in.

    Parameters
    ----------
    ranking
        The ranking, with its draws.
    site_id
        The site.
    """
    sure = ranking.robustness
    if sure is None or not sure.draws:
        return ""
    row = ranking.table[ranking.table["site_id"] == site_id].iloc[0]
    # Measures and draws are in the order of the patches, which is that of their ids.
    at = int(np.flatnonzero(np.sort(ranking.table["site_id"].to_numpy(dtype=object)) == site_id)[0])
    if not sure.eligible_share[at]:
        return ""
    lines = [f"How sure is {site_id}'s place among the {_list_of(ranking)} of {ranking.agent}:"]
    if row["status"] == "ranked":
        lines += _words(ranking, row, sure.top_n)
    lines += [f"  {line}" for line in (*_figures(sure, at, row), *_ranges(ranking, sure, at))]
    lines += ["  What was drawn:", *(f"    {sentence}" for sentence in (*sure.drawn, *sure.exact))]
    return "\n".join(lines)


def _list_of(ranking: Ranking) -> str:
    return "release sites" if ranking.role == "release" else "sources"


def _words(ranking: Ranking, row: pd.Series, top_n: int) -> Iterator[str]:
    """Yield the sentences of the tables, made here for sites too deep in a list to have them there."""
    why, change = str(row["why_here"]), str(row["what_would_change_it"])
    if not why or not change:
        sites, place = _ranked(ranking, top_n), int(row["rank"]) - 1
        told = [row._asdict() for row in each_row(ranking.ranked[_TOLD].head(place + 1))]
        why = why or why_here(sites, ranking.role, told)[place]
        change = change or change_sentence(sites, place)
    yield f"  Why here: {why}"
    yield f"  What would change it: {change}"


def _ranked(ranking: Ranking, top_n: int) -> RankedValues:
    order = ranking.table.sort_values("site_id", kind="stable")
    row_of = {site_id: row for row, site_id in enumerate(order["site_id"])}
    ids = [str(site_id) for site_id in ranking.ranked["site_id"]]
    rows = np.array([row_of[site_id] for site_id in ids], dtype=np.intp)
    return ranked_values(
        ids,
        rows,
        ranking.criteria,
        ranking.measures,
        score_sites(
            ranking.criteria,
            ranking.measures,
            ranking.weighing,
            ranking.method,
            ranking.attitude,
            order["exclusion_codes"].isin(["", "too-close"]).to_numpy(),
        ),
        order["gross_ha"].to_numpy(dtype=np.float64),
        top_n,
    )


def _figures(sure: Robustness, at: int, row: pd.Series) -> Iterator[str]:
    yield (
        f"{sure.draws} draws, in which a share has a standard error of at most {sure.error_share:.4f}; "
        "behind each share stands its own (+-)"
    )
    if sure.rank_low[at] and sure.rank_high[at]:
        where = "" if row["status"] == "ranked" else " where no limit leaves it out"
        yield (
            f"rank {sure.rank_low[at]} to {sure.rank_high[at]} between the 5 % and the 95 % point{where}, "
            f"{sure.rank_best[at]} at best, {sure.rank_worst[at] or 'deeper than counted'} at worst"
        )
    yield (
        f"among the first {sure.top_n} in {_with_error(sure.top_n_share[at], sure.draws)} of the draws; left "
        f"out by no limit in {_with_error(sure.eligible_share[at], sure.draws)}"
    )
    if not np.isnan(sure.beats_next_share[at]):
        yield f"before the next on the list in {_with_error(sure.beats_next_share[at], sure.draws)}"
    if not np.isnan(sure.central_weights[at]).any():
        weights = zip(sure.criteria, sure.central_weights[at], strict=True)
        told = ", ".join(f"{name} {weight:.3f}" for name, weight in weights)
        sureness = sure.confidence_share[at]
        told_draws = sure.confidence_draws
        held = f"; with these alone, in {_with_error(sureness, told_draws)} of {told_draws} draws of the data"
        held = "" if np.isnan(sureness) else held
        yield f"mean weights with which it is among the first {sure.top_n}: {told}{held}"


def _with_error(share: float, draws: int) -> str:
    return f"{share:.4f} (+- {float(standard_error(share, draws)):.4f})"


def _ranges(ranking: Ranking, sure: Robustness, at: int) -> Iterator[str]:
    """Yield between which ends the measures of the site were drawn."""
    told = []
    for name, (low, high) in sure.ranges.items():
        if low[at] < high[at]:
            unit = ranking.measures[name].unit if name in ranking.measures else "ha"
            words = {"pct": " %", "": ""}.get(unit, f" {unit}")
            told.append(f"{name.replace('_', ' ')} {low[at]:.4f} to {high[at]:.4f}{words}")
    if told:
        yield f"drawn at this site: {'; '.join(told)}"
