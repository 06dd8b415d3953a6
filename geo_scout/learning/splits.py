"""What is held out while a chance is fitted: districts in turn, or what came later."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.calibrated_chance import fit_chance

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Fit = Callable[[FloatArray, BoolArray, FloatArray], FloatArray]


def later_part(day: NDArray[np.datetime64]) -> BoolArray:
    """Return which releases are the later ones: those after the day by which half of them were made.

    Parameters
    ----------
    day
        (n,) day of each release.

    Examples
    --------
    >>> days = np.array(["2018-05-01", "2019-05-01", "2019-05-01", "2020-05-01"], dtype="datetime64[D]")
    >>> later_part(days).tolist()
    [False, False, False, True]
    """
    if not len(day):
        return np.zeros(0, dtype=np.bool_)
    return np.asarray(day > np.sort(day)[(len(day) - 1) // 2], dtype=np.bool_)


def chance_of_value(value: FloatArray, outcome: BoolArray, asked: FloatArray) -> FloatArray:
    """Return the chance of each value asked about, by the logistic curve of the training part [share]."""
    return fit_chance(value, outcome).chance(asked)


def chance_of_share(value: FloatArray, outcome: BoolArray, asked: FloatArray) -> FloatArray:
    """Return the share of the training part that established, half a case added to each side [share]."""
    return np.full(len(asked), (float(outcome.sum()) + 0.5) / (len(value) + 1.0))


def held_out(value: FloatArray, outcome: BoolArray, part: NDArray[np.object_], fit: Fit) -> FloatArray:
    """Return the chance of each release, fitted on the other parts alone; nan where there are none [share].

    Parameters
    ----------
    value
        (n,) what a rule says of each.
    outcome
        (n,) whether each established.
    part
        (n,) name of the part of each, such as its district.
    fit
        Makes chances out of a training part.
    """
    chance = np.full(len(value), np.nan)
    for one in sorted(set(part)):
        out = part == one
        if not out.all():
            chance[out] = fit(value[~out], outcome[~out], value[out])
    return chance
