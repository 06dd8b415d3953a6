"""How sure the order is: every site's rank over many draws of weights and data."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import score_integer
from geo_scout.formulas.draw_error import draws_needed, standard_error
from geo_scout.formulas.rank_acceptability import (
    beats_next,
    central_weights,
    confidence,
    followed_intervals,
    leader_intervals,
    top_share,
)
from geo_scout.formulas.rank_draws import DEEPEST, SORTED_WHOLE, Combine, RankDraws, rank_draws
from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import SiteDoubts
from geo_scout.model.robustness import Robustness
from geo_scout.model.season import FEWEST_DRAWS, RankingTable
from geo_scout.ranking.combine import combine_draws
from geo_scout.ranking.drawn_ranges import Ends, drawn_ranges
from geo_scout.ranking.drawn_sites import DrawnSites
from geo_scout.ranking.drawn_weights import draw_weights
from geo_scout.ranking.drawn_words import taken_as_exact, what_was_drawn
from geo_scout.ranking.score import ScoredSites

FloatArray = NDArray[np.float64]
RowArray = NDArray[np.int64]
MOST_SITE_DRAWS = 5_000_000
"""Sites times draws made when the season does not state the draws: more would take long. Our choice."""
LISTS_NEAR = 2
"""Sites ranked up to this many times top_n are near the cut, and have a confidence. Our choice."""
MOST_FOLLOWED = 60_000_000
"""Ranks of single sites in single draws that are kept, 4 bytes each; sites deeper in the list are let go."""


def assess_robustness(
    doubts: SiteDoubts,
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    ranked: Sequence[str],
    ranking: RankingTable,
    combine: Combine | None = None,
) -> Robustness:
    """Return how sure each site's rank is.

    Parameters
    ----------
    doubts
        What a draw may change.
    criteria, measures, scored
        How the sites are scored as the data stand.
    ranked
        Ids of the sites that have a rank as the data stand, best first.
    ranking
        How many draws, of what, and how long the list is that matters.
    combine
        How values become scores, as in `rank_draws`; by the ranking's own method without it.

    Notes
    -----
    By distance to the ideal each draw has its own ideal, of the sites it leaves in and of those that spacing
    leaves out, as their data stand.

    Among more than 4,096 sites only the first 1,000 ranked ones and those ever among the first 1,000 have
    rank intervals, and none has a confidence: what is counted stays exact, the rest is left empty. A
    confidence is worked out for sites ranked up to twice ``top_n``, from fewer draws where sites are many.
    """
    rows = np.flatnonzero(~doubts.is_out)
    empty = _Blank(len(doubts.site_ids), len(criteria))
    if not len(rows):
        return empty.robustness(0, ranking.top_n, tuple(criteria), 0.0, (), ())
    draws = _draws(ranking, len(rows))
    combine = (
        combine_draws(scored.method, scored.attitude, _crowded(doubts, scored))
        if combine is None
        else combine
    )
    weights = draw_weights(scored.weights, ranking, draws)
    sites = DrawnSites(doubts, criteria, measures, scored, rows, ranking.seed, draws)
    names = [doubts.site_ids[row] for row in rows]
    order = _listed_first(names, ranked)
    is_many = len(rows) > SORTED_WHOLE
    ties = np.argsort(np.argsort(np.array(names, dtype=object), kind="stable"), kind="stable")
    found = rank_draws(
        sites.values,
        weights,
        deepest=DEEPEST if is_many else min(ranking.top_n, len(rows)),
        followed=order[: DEEPEST if is_many else max(1, MOST_FOLLOWED // draws)],
        eligible=sites.eligible,
        tie_order=ties,
        combine=combine,
    )
    empty.fill_ranks(found, rows)
    in_top = top_share(found, [ranking.top_n])[:, 0]
    central = central_weights(found, weights, np.arange(len(rows)), top=ranking.top_n)
    empty.top_n_share[rows], empty.central_weights[rows] = in_top, central
    empty.eligible_share[rows] = found.eligible_draws / draws
    followed = min(len(ranked), len(found.followed))
    if followed > 1:
        # Level sites stand in the order of their ids: that one comes before the other says nothing of them.
        now = score_integer(scored.score[rows[order[:followed]]])
        before = np.where(now[:-1] == now[1:], np.nan, beats_next(found)[0][: followed - 1])
        empty.beats_next_share[rows[order[: followed - 1]]] = before
    near = order[: 0 if is_many else min(len(ranked), LISTS_NEAR * ranking.top_n)]
    sure_draws = min(draws, max(FEWEST_DRAWS, 2 * MOST_SITE_DRAWS // (len(rows) * max(1, len(near)))))
    if len(near):
        empty.confidence_draws = sure_draws
        empty.confidence_share[rows[near]] = confidence(
            sites.values,
            central[near],
            near,
            sure_draws,
            top=ranking.top_n,
            eligible=sites.eligible,
            tie_order=ties,
            combine=combine,
        )
    error = float(standard_error(np.append(in_top, empty.eligible_share[rows]), draws).max())
    drawn = what_was_drawn(doubts, criteria, measures, scored.weights, ranking, rows)
    exact = taken_as_exact(doubts, criteria, rows)
    empty.ranges = drawn_ranges(doubts, criteria, measures)
    return empty.robustness(draws, ranking.top_n, tuple(criteria), error, drawn, exact)


def _crowded(doubts: SiteDoubts, scored: ScoredSites) -> FloatArray:
    """Return the values of the sites that spacing alone leaves out, (m, k)."""
    values = np.column_stack(list(scored.values.values()))
    may_rank = np.ones(len(values), dtype=bool) if scored.may_rank is None else scored.may_rank
    return values[may_rank & doubts.is_out]


def _draws(ranking: RankingTable, sites: int) -> int:
    if ranking.draws is not None:
        return ranking.draws
    return min(draws_needed(ranking.error_share), max(FEWEST_DRAWS, MOST_SITE_DRAWS // sites))


def _listed_first(names: Sequence[str], ranked: Sequence[str]) -> RowArray:
    """Return the places of the sites in `names`: those on the list in its order, then the others."""
    place = {name: row for row, name in enumerate(names)}
    listed = [place[name] for name in ranked]
    others = np.setdiff1d(np.arange(len(names)), listed)
    return np.append(np.array(listed, dtype=np.int64), others)


class _Blank:
    """The arrays of a `Robustness`, blank at first."""

    def __init__(self, sites: int, criteria: int) -> None:
        self.ranks = np.zeros((4, sites), dtype=np.int64)
        self.top_n_share, self.eligible_share = np.zeros(sites), np.zeros(sites)
        self.confidence_share, self.beats_next_share = np.full(sites, np.nan), np.full(sites, np.nan)
        self.confidence_draws = 0
        self.central_weights = np.full((sites, criteria), np.nan)
        self.ranges: dict[str, Ends] = {}

    def fill_ranks(self, found: RankDraws, rows: NDArray[np.intp]) -> None:
        """Fill in the rank intervals: of leaders as deep as ranks were counted, of followed sites exactly."""
        counted = found.leaders.shape[1]
        for spans in (leader_intervals(found), followed_intervals(found)):
            four = np.array([spans.low, spans.high, spans.least, spans.greatest])
            if spans.rows is not found.followed:
                # K + 1 stands for anything deeper, which is no rank.
                four = np.where(four <= counted, four, 0)
            self.ranks[:, rows[spans.rows]] = four

    def robustness(
        self,
        draws: int,
        top_n: int,
        criteria: tuple[str, ...],
        error_share: float,
        drawn: tuple[str, ...],
        exact: tuple[str, ...],
    ) -> Robustness:
        """Return what was filled in."""
        return Robustness(
            draws,
            top_n,
            self.ranks[0],
            self.ranks[1],
            self.ranks[2],
            self.ranks[3],
            self.top_n_share,
            self.eligible_share,
            self.confidence_share,
            self.beats_next_share,
            criteria,
            self.central_weights,
            error_share,
            self.confidence_draws,
            drawn,
            exact,
            self.ranges,
        )
