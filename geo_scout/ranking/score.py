"""Value curves, weights and the score, with an interval where a measure is missing."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import normalise_weights, points, weighted_sum
from geo_scout.formulas.value_curves import curve_range
from geo_scout.formulas.value_curves import curve_value as value_on
from geo_scout.model.criteria import Criterion, Curve
from geo_scout.model.criterion_value import CriterionValue


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
    """

    weights: Mapping[str, float]
    values: Mapping[str, NDArray[np.float64]]
    points: Mapping[str, NDArray[np.float64]]
    score: NDArray[np.float64]
    score_low: NDArray[np.float64]
    score_high: NDArray[np.float64]


def score_sites(criteria: Mapping[str, Criterion], measures: Mapping[str, CriterionValue]) -> ScoredSites:
    """Return the scores of every site.

    Parameters
    ----------
    criteria
        Weight and curve by criterion.
    measures
        What each criterion measured.

    Notes
    -----
    A known measure has one value. A missing one has every value its known range allows, or 0 to 1
    where there is no range; the score counts its lower end, so nobody gains by not measuring.
    """
    names = list(criteria)
    weights = normalise_weights([criteria[name].weight for name in names])
    intervals = [value_interval(criteria[name].curve, measures[name]) for name in names]
    low = np.column_stack([interval[0] for interval in intervals])
    high = np.column_stack([interval[1] for interval in intervals])
    parts = points(low, weights)
    score_low = weighted_sum(low, weights)
    return ScoredSites(
        weights=dict(zip(names, weights.tolist(), strict=True)),
        values={name: low[:, column] for column, name in enumerate(names)},
        points={name: parts[:, column] for column, name in enumerate(names)},
        score=score_low,
        score_low=score_low,
        score_high=weighted_sum(high, weights),
    )


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
