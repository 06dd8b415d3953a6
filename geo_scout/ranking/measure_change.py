"""The smallest change of one measure that gives its value what is asked: a value curve read backwards."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.criteria import Curve
from geo_scout.ranking.score import curve_limits, curve_value

FloatArray = NDArray[np.float64]
_GRIDS, _POINTS = 5, 65
_MOST_DECIMALS = 7
POSSIBLE = {
    "ha": (0.0, np.inf),
    "km": (0.0, np.inf),
    "pct": (0.0, 100.0),
    "share": (0.0, 1.0),
    "deg": (0.0, 90.0),
}
"""What a measure can be, by its unit; elsewhere the curve alone sets how far is looked."""


@dataclass(frozen=True)
class MeasureChange:
    """A change of one measure.

    Parameters
    ----------
    name
        The criterion.
    now, then
        The measure, and what it would have to be, rounded to the side on which it does [criterion's unit].
    decimals
        Decimals of both in print.
    of_curve
        The change as a share of the width of its curve [share].
    """

    name: str
    now: float
    then: float
    decimals: int
    of_curve: float


class Goal(Protocol):
    """What the value of one criterion must reach: at least, or at most, so much."""

    value: float
    is_higher: bool

    def is_reached(self, value: float) -> bool:
        """Return whether a value does it, exactly."""
        ...


def least_measure_change(
    name: str, curve: Curve, unit: str, now: float, highest: float, goal: Goal
) -> MeasureChange | None:
    """Return the nearest measure whose value does what is asked; None where none does.

    Parameters
    ----------
    name, curve, unit
        The criterion.
    now
        Its measure [criterion's unit].
    highest
        No larger measure is possible, besides what its unit allows [criterion's unit].
    goal
        The value it must have.

    Notes
    -----
    Both sides are walked along the places where the curve bends. In the first stretch at whose end it is
    done, the nearest point is looked for on finer and finer grids, so that any curve that is monotone between
    its bends will do. What is returned is rounded away from the present measure, and checked.
    """
    limits, (least, most) = curve_limits(curve), POSSIBLE.get(unit, (-np.inf, np.inf))
    most, width = min(most, max(highest, now)), max(limits) - min(limits) or 1.0
    found = [_nearest(curve, limits, side, now, goal) for side in (-1.0, 1.0)]
    inside = [one for one in found if one is not None and least <= one <= most]
    for nearest in sorted(inside, key=lambda one: abs(one - now)):
        rounded = _rounded_away(curve, now, nearest, goal)
        if rounded is not None and least <= rounded[0] <= most:
            return MeasureChange(name, now, *rounded, abs(nearest - now) / width)
    return None


def _nearest(curve: Curve, limits: Iterable[float], side: float, now: float, goal: Goal) -> float | None:
    # A step changes at the bend itself on one way and just past it on the other.
    bends = sorted((bend for bend in limits if side * (bend - now) >= 0), key=lambda bend: side * bend)
    stops = [stop for bend in bends for stop in (bend, float(np.nextafter(bend, side * np.inf)))]
    path = np.array([now, *(stop for stop in stops if stop != now)])
    for _ in range(_GRIDS):
        done = _is_done(curve_value(curve, path), goal)
        if not done.any() or done[0]:
            return None
        end = int(done.argmax())
        nearest = float(path[end])
        path = np.linspace(path[end - 1], path[end], _POINTS)
    return nearest


def _is_done(values: FloatArray, goal: Goal) -> NDArray[np.bool_]:
    return np.asarray(values >= goal.value if goal.is_higher else values <= goal.value)


def _rounded_away(curve: Curve, now: float, then: float, goal: Goal) -> tuple[float, int] | None:
    """Return the measure with as few decimals as tell the change to a tenth, and that still does it."""
    for decimals in range(1, _MOST_DECIMALS):
        step = 10.0**-decimals
        whole = np.ceil(then / step) if then > now else np.floor(then / step)
        for rounded in (round(then, decimals), round(float(whole) * step, decimals)):
            is_near = abs(rounded - then) <= 0.1 * abs(then - now)
            is_told = f"{now:.{decimals}f}" != f"{rounded:.{decimals}f}"
            if is_near and is_told and goal.is_reached(float(curve_value(curve, np.array([rounded]))[0])):
                return rounded, decimals
    return None
