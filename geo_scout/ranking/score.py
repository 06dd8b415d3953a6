"""Value curves, weights and the score, with an interval where a measure is missing."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import points
from geo_scout.formulas.value_curves import curve_range
from geo_scout.formulas.value_curves import curve_value as value_on
from geo_scout.model.combination import IdealPoint, Method
from geo_scout.model.criteria import Criterion, Curve
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.weighing import Weighing
from geo_scout.ranking.combine import changed_score, combine_interval
from geo_scout.ranking.weigh import weigh

_WASTED = "wasted_chance"


@dataclass(frozen=True)
class ScoredSites:
    """Values, points and scores of every site under one set of criteria.

    Parameters
    ----------
    weights
        By criterion, summing to one [share].
    values, points
        By criterion: (n,) value 0-1, at the lower end where the measure is missing; weight x value.
    score, score_low, score_high
        (n,) the score used for the order, and the interval missing measures leave.
    high_values
        By criterion: (n,) value 0-1, at the upper end where the measure is missing.
    method, attitude
        How the values were combined; only a weighted sum is the sum of the points.
    weighing
        The weights and how they came about.
    may_rank
        (n,) sites that no limit but spacing leaves out.
    score_if_free
        (n,) score with the chance of waste at nothing, where that is not the sum of other points; else None.
    ideal
        By criterion: what ``ideal_distance`` measures it against; empty for other methods.
    """

    weights: Mapping[str, float]
    values: Mapping[str, NDArray[np.float64]]
    points: Mapping[str, NDArray[np.float64]]
    score: NDArray[np.float64]
    score_low: NDArray[np.float64]
    score_high: NDArray[np.float64]
    high_values: Mapping[str, NDArray[np.float64]] = field(default_factory=dict)
    method: Method = "weighted_sum"
    attitude: float | None = None
    weighing: Weighing | None = None
    may_rank: NDArray[np.bool_] | None = None
    score_if_free: NDArray[np.float64] | None = None
    ideal: Mapping[str, IdealPoint] = field(default_factory=dict)


def score_sites(
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    weighing: Weighing | None = None,
    method: Method = "weighted_sum",
    attitude: float | None = None,
    may_rank: NDArray[np.bool_] | None = None,
) -> ScoredSites:
    """Return the scores of every site.

    Parameters
    ----------
    criteria
        Weight and curve by criterion.
    measures
        What each criterion measured.
    weighing
        The weights; those of the criteria without it.
    method, attitude
        How values are combined.
    may_rank
        (n,) sites that no limit but spacing leaves out: from them the ideal of ``ideal_distance`` is taken;
        all without it.

    Notes
    -----
    A known measure has one value. A missing one has every value its known range allows, or 0 to 1
    where there is no range; the score counts its lower end, so nobody gains by not measuring.
    """
    names = list(criteria)
    weighing = weigh(criteria) if weighing is None else weighing
    weights = np.array([weighing.weights[name] for name in names])
    intervals = [value_interval(criteria[name].curve, measures[name]) for name in names]
    low = np.column_stack([interval[0] for interval in intervals])
    high = np.column_stack([interval[1] for interval in intervals])
    among = np.ones(len(low), dtype=np.bool_) if may_rank is None else may_rank
    parts = points(low, weights)
    score_low, score_high = combine_interval(method, attitude, low, high, weights, among)
    score_if_free = None
    if method != "weighted_sum" and _WASTED in criteria:
        free = low.copy()
        free[:, names.index(_WASTED)] = curve_value(criteria[_WASTED].curve, np.zeros(1))
        score_if_free = changed_score(method, attitude, low, free, weights, among)
    return ScoredSites(
        weights=dict(weighing.weights),
        values={name: low[:, column] for column, name in enumerate(names)},
        points={name: parts[:, column] for column, name in enumerate(names)},
        score=score_low,
        score_low=score_low,
        score_high=score_high,
        high_values={name: high[:, column] for column, name in enumerate(names)},
        method=method,
        attitude=attitude,
        weighing=weighing,
        may_rank=among,
        score_if_free=score_if_free,
        ideal=_ideal(names, low[among]) if method == "ideal_distance" else {},
    )


def _ideal(names: Sequence[str], values: NDArray[np.float64]) -> dict[str, IdealPoint]:
    """Return best, worst and root of the sum of squares of each criterion; none without a site."""
    if not len(values):
        return {}
    return {
        name: IdealPoint(
            float(column.max()), float(column.min()), float(np.sqrt(math.fsum(column**2))), len(column)
        )
        for name, column in zip(names, values.T, strict=True)
    }


def curve_value(curve: Curve, measure: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the value, 0-1, of every measure on one curve; nan where the measure is nan."""
    return value_on(curve.shape, curve.places, measure, curve.levels)


def curve_limits(curve: Curve) -> tuple[float, ...]:
    """Return the limits of a curve in the order of its formula [unit of the measure]."""
    return curve.places


def value_interval(curve: Curve, measure: CriterionValue) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lowest and highest value of every site on one curve."""
    exact = curve_value(curve, measure.value)
    lowest, highest = curve_range(curve.shape, curve.places, measure.low, measure.high, curve.levels)
    low = np.where(measure.known, exact, np.nan_to_num(lowest, nan=0.0))
    high = np.where(measure.known, exact, np.nan_to_num(highest, nan=1.0))
    return low, high
