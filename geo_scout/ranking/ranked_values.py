"""The ranked sites of one ranking as their method sees them, to be scored again with one thing changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import score_integer, weighted_sum
from geo_scout.formulas.weight_change import changed_weights
from geo_scout.model.combination import Method
from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking.combine import changed_score, combiner
from geo_scout.ranking.score import ScoredSites

FloatArray = NDArray[np.float64]
EQUAL_DECIMALS = 6
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
        (m, k) values of the sites that only spacing leaves out; the ideal of ``ideal_distance`` is taken from
        them, too.
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

    @property
    def is_spaced(self) -> bool:
        """Whether spacing leaves out sites that might be ranked."""
        return len(self.beside) > 0

    @cached_property
    def now(self) -> NDArray[np.int64]:
        """The scores as they are, in whole millionths."""
        return self.millionths(self.values, self.weights)

    @cached_property
    def gives(self) -> FloatArray:
        """By how much each score would fall with one value at 0 and all else as it is, (n, k).

        By other methods than the sum: with that value at the median of the ranked sites. A product has all
        its score from each of its values, so that 0 would tell none from another.
        """
        if self.method == "weighted_sum":
            return np.round(self._as_they_are - self._one_by_one(0.0), EQUAL_DECIMALS)
        return np.round(self._as_they_are - self._one_by_one(np.median(self.values, axis=0)), EQUAL_DECIMALS)

    @cached_property
    def lacks(self) -> FloatArray:
        """By how much each score would rise with one value at its best: that value at 1, (n, k)."""
        return np.round(self._one_by_one(1.0) - self._as_they_are, EQUAL_DECIMALS)

    def _one_by_one(self, value: float | FloatArray) -> FloatArray:
        """Return the scores with one value after the other changed, to the same or each its own, (n, k)."""
        if self.method == "weighted_sum":
            # The same to the last digits that count, and quicker.
            base = weighted_sum(self.values, self.weights)[:, np.newaxis]
            return np.asarray(base + (value - self.values) * self.weights, dtype=np.float64)
        columns, values = [], np.broadcast_to(value, len(self.names))
        for column in range(len(self.names)):
            changed = self._listed.copy()
            changed[: len(self.values), column] = values[column]
            columns.append(self._scores_changed(changed))
        return np.column_stack(columns)

    @cached_property
    def _listed(self) -> FloatArray:
        return np.concatenate([self.values, self.beside]) if len(self.beside) else self.values

    @property
    def _as_they_are(self) -> FloatArray:
        return self._scores_changed(self._listed)[:, np.newaxis]

    def _scores_changed(self, changed: FloatArray) -> FloatArray:
        everybody = np.ones(len(changed), dtype=np.bool_)
        scores = changed_score(self.method, self.attitude, self._listed, changed, self.weights, everybody)
        return scores[: len(self.values)]

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
