"""The ranked sites of one ranking as their method sees them, to be scored again with one thing changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import score_integer
from geo_scout.formulas.weight_change import changed_weights
from geo_scout.model.combination import Method
from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking.combine import combiner
from geo_scout.ranking.score import ScoredSites

FloatArray = NDArray[np.float64]
MOST_TRIED = 5_000
"""Ranked sites up to which all are scored again and again, but for the weighted sum. Our choice."""
STEPS = np.round(np.linspace(0.0, 1.0, 101), 2)
"""Weights that are tried [share]."""


@dataclass(frozen=True)
class RankedValues:
    """The ranked sites of one ranking, best first, as their method sees them.

    Parameters
    ----------
    ids
        (n,) site ids.
    names
        (k,) criteria.
    weights
        (k,) weights that sum to one [share].
    values
        (n, k) values that count: at the lower end where nothing was measured [0-1].
    criteria, measures
        Curves, and measures in the order of the patches.
    rows
        (n,) row of each site among the patches.
    gross_ha
        (n,) ground of each site, which an infested area cannot exceed [ha].
    top_n
        Where the cut is.
    method, attitude
        How the values are combined.
    beside
        (m, k) values of other sites that the ideal of ``ideal_distance`` is taken from, too.
    """

    ids: Sequence[str]
    names: Sequence[str]
    weights: FloatArray
    values: FloatArray
    criteria: Mapping[str, Criterion]
    measures: Mapping[str, CriterionValue]
    rows: NDArray[np.intp]
    gross_ha: FloatArray
    top_n: int
    method: Method = "weighted_sum"
    attitude: float | None = None
    beside: FloatArray = field(default_factory=lambda: np.empty((0, 0)))

    def millionths(self, values: FloatArray, weights: FloatArray) -> NDArray[np.int64]:
        """Return the scores of the ranked sites in whole millionths, were these their values and weights."""
        combine = combiner(self.method, self.attitude)
        if self.method == "ideal_distance" and len(self.beside):
            return score_integer(combine(np.concatenate([values, self.beside]), weights)[: len(values)])
        return score_integer(combine(values, weights))

    def is_first(self, millionths: NDArray[np.int64], place: int) -> bool:
        """Return whether a site is among the first, by these scores."""
        order, own = self.id_order, millionths[place]
        ahead = (millionths > own) | ((millionths == own) & (order < order[place]))
        return int(ahead.sum()) < self.top_n

    @cached_property
    def tried_weights(self) -> NDArray[np.bool_]:
        """Who is among the first with each weight in hundredths, the others scaled, (k, 101, n)."""
        first = np.zeros((len(self.names), len(STEPS), len(self.ids)), dtype=bool)
        if not (self.weights < 1).all():
            return first | (np.arange(len(self.ids)) < self.top_n)
        for column in range(len(self.names)):
            for step, weight in enumerate(STEPS):
                changed = changed_weights(self.weights, column, float(weight))
                order = np.lexsort((self.id_order, -self.millionths(self.values, changed)))
                first[column, step, order[: self.top_n]] = True
        return first

    @cached_property
    def id_order(self) -> NDArray[np.intp]:
        """The place of each site_id in the order of the ids."""
        return np.argsort(np.argsort(np.array(self.ids, dtype=object), kind="stable"), kind="stable")


def ranked_values(
    ids: Sequence[str],
    rows: NDArray[np.intp],
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    gross_ha: FloatArray,
    top_n: int,
) -> RankedValues:
    """Return the ranked sites, best first, from what all patches are scored with.

    Parameters
    ----------
    ids, rows
        (n,) the ranked sites, best first, and their rows among the patches.
    criteria, measures, scored
        Of all patches.
    gross_ha
        Of all patches [ha].
    top_n
        Where the cut is.
    """
    every = np.column_stack([scored.values[name] for name in criteria])
    is_beside = np.zeros(len(every), dtype=bool) if scored.may_rank is None else scored.may_rank.copy()
    is_beside[rows] = False
    weights = np.array([scored.weights[name] for name in criteria])
    return RankedValues(
        ids,
        tuple(criteria),
        weights,
        every[rows],
        criteria,
        measures,
        rows,
        gross_ha[rows],
        top_n,
        scored.method,
        scored.attitude,
        every[is_beside],
    )
