"""The ranked sites in the order of every method: how much of the order hangs on how scores are combined."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.combining import score_integer
from geo_scout.formulas.rank_agreement import kendall_tau_b
from geo_scout.model.combination import METHODS, Method
from geo_scout.model.method_comparison import MethodComparison, MethodOrder
from geo_scout.ranking.combine import combiner
from geo_scout.ranking.score import ScoredSites

ATTITUDES = (0.25, 0.75)
"""Attitudes of the ordered average that every comparison holds: a wary and a hopeful one, our choice."""


def compare_methods(
    scored: ScoredSites, site_ids: Sequence[str], ranked_ids: Iterable[str], top_n: int
) -> MethodComparison:
    """Return the ranks of the ranked sites by every method.

    Parameters
    ----------
    scored
        Values, weights and the season's own scores of all sites.
    site_ids
        Their names, in the same order.
    ranked_ids
        Sites that the season ranks, best first.
    top_n
        How many sites the season shows first.
    """
    row_of = {site_id: row for row, site_id in enumerate(site_ids)}
    ranked = list(ranked_ids)
    rows = np.array([row_of[site_id] for site_id in ranked], dtype=np.intp)
    by_name = np.empty(len(ranked), dtype=np.intp)
    by_name[sorted(range(len(ranked)), key=ranked.__getitem__)] = np.arange(len(ranked))
    own = score_integer(scored.score[rows])
    table = _Candidates.of(scored, rows)
    orders, columns, level = [], {}, {}
    for method, attitude in _methods(scored.method, scored.attitude):
        is_own = (method, attitude) == (scored.method, scored.attitude)
        score = own if is_own else score_integer(table.scores(method, attitude))
        ranks = _ranks(score, by_name)
        tau_b = kendall_tau_b(own, score) if not is_own else 1.0 if len(set(own.tolist())) > 1 else math.nan
        order = _order(method, attitude, is_own, tau_b, ranks, ranked, top_n)
        orders.append(order)
        columns[order.column], level[order.level_column] = ranks, _level(score)
    return MethodComparison(top_n, tuple(orders), _table(ranked, columns).assign(**level))


def _methods(own: Method, attitude: float | None) -> list[tuple[Method, float | None]]:
    """Return every method with its attitudes, the season's own first, each once."""
    every: list[tuple[Method, float | None]] = [(own, attitude)]
    for method in METHODS:
        every += [(method, one) for one in (ATTITUDES if method == "ordered_average" else (None,))]
    return list(dict.fromkeys(every))


@dataclass(frozen=True)
class _Candidates:
    """The sites that may be ranked, among which the ranked ones stand."""

    values: NDArray[np.float64]
    weights: NDArray[np.float64]
    ranked: NDArray[np.intp]

    @classmethod
    def of(cls, scored: ScoredSites, rows: NDArray[np.intp]) -> Self:
        """Return them from the scores of all sites and the rows of the ranked ones."""
        names = list(scored.values)
        low = np.column_stack([scored.values[name] for name in names])
        among = np.arange(len(low)) if scored.may_rank is None else np.flatnonzero(scored.may_rank)
        weights = np.array([scored.weights[name] for name in names])
        return cls(low[among], weights, np.searchsorted(among, rows))

    def scores(self, method: Method, attitude: float | None) -> NDArray[np.float64]:
        """Return the scores of the ranked sites by the lower end of what is possible."""
        return combiner(method, attitude)(self.values, self.weights)[self.ranked]


def _ranks(score: NDArray[np.int64], by_name: NDArray[np.intp]) -> NDArray[np.int64]:
    ranks = np.empty(len(score), dtype=np.int64)
    ranks[np.lexsort((by_name, -score))] = np.arange(1, len(score) + 1)
    return ranks


def _level(score: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return how many other sites have the very score of each."""
    _, group, count = np.unique(score, return_inverse=True, return_counts=True)
    return np.asarray(count[group] - 1, dtype=np.int64)


def _order(
    method: Method,
    attitude: float | None,
    is_own: bool,
    tau_b: float,
    ranks: NDArray[np.int64],
    ranked: Sequence[str],
    top_n: int,
) -> MethodOrder:
    newly = [row for row in np.flatnonzero(ranks <= top_n).tolist() if row >= top_n]
    enters = sorted(newly, key=lambda row: int(ranks[row]))
    leaves = np.flatnonzero(ranks[:top_n] > top_n).tolist()
    return MethodOrder(
        method=method,
        attitude=attitude,
        is_own=is_own,
        tau_b=tau_b,
        enters=tuple(ranked[row] for row in enters),
        leaves=tuple(ranked[row] for row in leaves),
    )


def _table(ranked: Sequence[str], columns: dict[str, NDArray[np.int64]]) -> pd.DataFrame:
    every = np.column_stack(list(columns.values()))
    best, worst = every.min(axis=1, initial=len(ranked)), every.max(axis=1, initial=0)
    return pd.DataFrame(
        {
            "site_id": pd.Series(ranked, dtype=object),
            **columns,
            "best_rank": best,
            "worst_rank": worst,
            "rank_span": worst - best,
        }
    )
