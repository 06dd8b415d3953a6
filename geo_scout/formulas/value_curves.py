"""Value curves: a measure in physical units becomes a value from 0 to 1."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def rising(measure: ArrayLike, start: float, full: float) -> FloatArray:
    """Return 0 up to `start`, 1 from `full` on, and a straight line between.

    Parameters
    ----------
    measure
        Any shape [unit of the criterion].
    start, full
        Where the value leaves 0 and reaches 1. When equal, the curve is a step and the limit itself is
        good: a measure equal to it has the value 1 [unit of the criterion].

    Returns
    -------
    numpy.ndarray
        Value, same shape; nan where the measure is nan [0-1].

    Raises
    ------
    ValueError
        A limit is not finite, or `start` is above `full`.

    Examples
    --------
    >>> rising([1.0, 2.0, 3.0, 9.0], start=1.0, full=5.0).tolist()
    [0.0, 0.25, 0.5, 1.0]
    """
    _check_order(start, full)
    array = np.asarray(measure, dtype=np.float64)
    if start == full:
        return np.where(np.isnan(array), np.nan, (array >= full).astype(np.float64))
    return np.asarray((np.clip(array, start, full) - start) / (full - start), dtype=np.float64)


def falling(measure: ArrayLike, full: float, end: float) -> FloatArray:
    """Return 1 up to `full`, 0 from `end` on, and a straight line between.

    Parameters
    ----------
    measure
        Any shape [unit of the criterion].
    full, end
        Where the value leaves 1 and reaches 0. When equal, the curve is a step and a measure equal to the
        limit has the value 1 [unit of the criterion].

    Returns
    -------
    numpy.ndarray
        Value, same shape; nan where the measure is nan [0-1].

    Raises
    ------
    ValueError
        A limit is not finite, or `full` is above `end`.

    Examples
    --------
    >>> falling([0.0, 10.0, 25.0, 40.0], full=10.0, end=30.0).tolist()
    [1.0, 1.0, 0.25, 0.0]
    """
    _check_order(full, end)
    return rising(-np.asarray(measure, dtype=np.float64), -end, -full)


def plateau(measure: ArrayLike, start: float, full_from: float, full_to: float, end: float) -> FloatArray:
    """Return 1 between `full_from` and `full_to`, falling to 0 at `start` and at `end`.

    Parameters
    ----------
    measure
        Any shape [unit of the criterion].
    start, full_from, full_to, end
        Limits in rising order. Equal neighbours `start`, `full_from` or `full_to`, `end` make a step whose
        limit has the value 1 [unit of the criterion].

    Returns
    -------
    numpy.ndarray
        Value, same shape; nan where the measure is nan [0-1].

    Raises
    ------
    ValueError
        A limit is not finite or the limits are not in rising order.

    Examples
    --------
    >>> plateau([0.0, 5.0, 15.0, 30.0], 0.0, 10.0, 20.0, 40.0).tolist()
    [0.0, 0.5, 1.0, 0.5]
    """
    _check_order(start, full_from, full_to, end)
    return np.minimum(rising(measure, start, full_from), falling(measure, full_to, end))


def s_shaped(measure: ArrayLike, start: float, full: float) -> FloatArray:
    """Return 0 up to `start`, 1 from `full` on, and a smooth S between, 0.5 in the middle.

    Parameters
    ----------
    measure
        Any shape [unit of the criterion].
    start, full
        Where the value leaves 0 and reaches 1. With `start` above `full` the curve falls: 1 up to `full`, 0
        from `start` on. When equal, the curve is a rising step and the limit itself is good [unit of the
        criterion].

    Returns
    -------
    numpy.ndarray
        Value, same shape, monotone in the measure; nan where the measure is nan [0-1].

    Raises
    ------
    ValueError
        A limit is not finite.

    Notes
    -----
    With t the share of the way from `start` to `full`: 2 t^2 up to t = 1/2, then 1 - 2 (1 - t)^2. It is
    steepest in the middle, twice as steep as the straight line, and flat at both ends.

    References
    ----------
    Zadeh, L. A. 1975. Calculus of fuzzy restrictions. In: Fuzzy Sets and Their Applications to Cognitive and
    Decision Processes. Academic Press: 1-39, the S-function (from memory).

    Examples
    --------
    >>> s_shaped([0.0, 1.0, 2.0, 3.0, 4.0], start=0.0, full=4.0).tolist()
    [0.0, 0.125, 0.5, 0.875, 1.0]
    >>> s_shaped([0.0, 1.0, 2.0, 3.0, 4.0], start=4.0, full=0.0).tolist()
    [1.0, 0.875, 0.5, 0.125, 0.0]
    """
    line = rising(measure, start, full) if start <= full else falling(measure, full, start)
    return np.asarray(np.where(line > 0.5, 1 - 2 * (1 - line) ** 2, 2 * line**2), dtype=np.float64)


def steps(measure: ArrayLike, limits: Sequence[float], levels: Sequence[float]) -> FloatArray:
    """Return the level of the step that each measure stands on.

    Parameters
    ----------
    measure
        Any shape [unit of the criterion].
    limits
        Where one step ends and the next begins, each above the one before, (m,), at least one. A step holds
        its left limit and not its right one: a measure equal to a limit has the level that follows it
        [unit of the criterion].
    levels
        Value below the first limit, between the limits, and from the last one on, (m + 1,) [0-1].

    Returns
    -------
    numpy.ndarray
        Value, same shape; nan where the measure is nan. It rises (falls) with the measure where the levels
        do, and nothing asks them to [0-1].

    Raises
    ------
    ValueError
        There is no limit, one is not finite or not above the one before, or the levels are not one more
        than the limits or leave 0-1.

    Examples
    --------
    >>> steps([0.0, 5.0, 19.9, 20.0], limits=[5.0, 20.0], levels=[0.0, 0.4, 1.0]).tolist()
    [0.0, 0.4, 0.4, 1.0]
    """
    heights = _checked_levels(limits, levels)
    array = np.asarray(measure, dtype=np.float64)
    value = heights[np.searchsorted(np.asarray(limits, dtype=np.float64), array, side="right")]
    return np.where(np.isnan(array), np.nan, value)


_CURVES: dict[str, tuple[Callable[..., FloatArray], int]] = {
    "rising": (rising, 2),
    "falling": (falling, 2),
    "plateau": (plateau, 4),
    "s_shaped": (s_shaped, 2),
}


def curve_value(
    shape: str, limits: Sequence[float], measure: ArrayLike, levels: Sequence[float] | None = None
) -> FloatArray:
    """Return the value of each measure on the curve of a name.

    Parameters
    ----------
    shape
        "rising", "falling", "plateau", "s_shaped" or "steps".
    limits
        The limits of that curve, in the order of its function [unit of the criterion].
    measure
        Any shape [unit of the criterion].
    levels
        The levels of "steps", one more than its limits; None for the other curves [0-1].

    Returns
    -------
    numpy.ndarray
        Value, same shape; nan where the measure is nan [0-1].

    Raises
    ------
    ValueError
        As for `curve_range`.

    Examples
    --------
    >>> curve_value("s_shaped", [4.0, 0.0], [1.0]).tolist()
    [0.875]
    >>> curve_value("steps", [1.0], [0.5, 1.0], levels=[0.2, 1.0]).tolist()
    [0.2, 1.0]
    """
    if shape == "steps":
        return steps(measure, limits, levels if levels is not None else ())
    return _curve_of(shape, limits, levels)(measure, *limits)


def curve_range(
    shape: str,
    limits: Sequence[float],
    low: ArrayLike,
    high: ArrayLike,
    levels: Sequence[float] | None = None,
) -> tuple[FloatArray, FloatArray]:
    """Return the lowest and the highest value that a curve takes over an interval of measures.

    Parameters
    ----------
    shape
        "rising", "falling", "plateau", "s_shaped" or "steps".
    limits
        The limits of that curve, in the order of its function [unit of the criterion].
    low, high
        Ends of the interval, which belong to it; broadcast; exchanged where `low` is above `high` [unit of
        the criterion].
    levels
        The levels of "steps", one more than its limits; None for the other curves [0-1].

    Returns
    -------
    lowest, highest : numpy.ndarray
        Values; nan where an end of the interval is nan [0-1].

    Raises
    ------
    ValueError
        The shape is unknown, the limits are too few, too many, not finite or out of order, or the levels do
        not go with the curve.

    Examples
    --------
    >>> lowest, highest = curve_range("plateau", [0.0, 10.0, 20.0, 40.0], [5.0], [30.0])
    >>> lowest.tolist(), highest.tolist()
    ([0.5], [1.0])
    >>> lowest, highest = curve_range("steps", [1.0, 2.0], [0.5], [2.0], levels=[0.5, 0.0, 1.0])
    >>> lowest.tolist(), highest.tolist()
    ([0.0], [1.0])
    """
    first, second = np.broadcast_arrays(np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64))
    left, right = np.minimum(first, second), np.maximum(first, second)
    if shape == "steps":
        return _steps_range(limits, levels if levels is not None else (), left, right)
    curve = _curve_of(shape, limits, levels)
    value_left, value_right = curve(left, *limits), curve(right, *limits)
    highest = np.maximum(value_left, value_right)
    if shape == "plateau":
        highest = np.where((left <= limits[2]) & (right >= limits[1]), 1.0, highest)
    return np.minimum(value_left, value_right), highest


def _curve_of(
    shape: str, limits: Sequence[float], levels: Sequence[float] | None
) -> Callable[..., FloatArray]:
    if shape not in _CURVES:
        message = f"there is no curve '{shape}'; the curves are {', '.join(_CURVES)}, steps"
        raise ValueError(message)
    curve, limit_count = _CURVES[shape]
    if len(limits) != limit_count:
        message = f"a {shape} curve has {limit_count} limits, not {len(limits)}"
        raise ValueError(message)
    if levels is not None:
        message = f"a {shape} curve has no levels; only steps have"
        raise ValueError(message)
    return curve


def _steps_range(
    limits: Sequence[float], levels: Sequence[float], left: FloatArray, right: FloatArray
) -> tuple[FloatArray, FloatArray]:
    heights = _checked_levels(limits, levels)
    edges = np.asarray(limits, dtype=np.float64)
    step_left, step_right = edges.searchsorted(left, side="right"), edges.searchsorted(right, side="right")
    lowest, highest = np.full(left.shape, np.inf), np.full(left.shape, -np.inf)
    for step, height in enumerate(heights):
        is_crossed = (step_left <= step) & (step <= step_right)
        lowest = np.where(is_crossed, np.minimum(lowest, height), lowest)
        highest = np.where(is_crossed, np.maximum(highest, height), highest)
    unknown = np.isnan(left) | np.isnan(right)
    return np.where(unknown, np.nan, lowest), np.where(unknown, np.nan, highest)


def _checked_levels(limits: Sequence[float], levels: Sequence[float]) -> FloatArray:
    _check_order(*limits)
    if not len(limits) or any(later == earlier for earlier, later in pairwise(limits)):
        message = "steps need at least one limit, and each limit above the one before"
        raise ValueError(message)
    heights = np.asarray(levels, dtype=np.float64)
    if heights.shape != (len(limits) + 1,):
        message = f"steps need one level more than limits: {len(limits) + 1}, not {len(levels)}"
        raise ValueError(message)
    if not ((heights >= 0) & (heights <= 1)).all():
        message = f"the levels of steps lie from 0 to 1, not {', '.join(f'{level:g}' for level in levels)}"
        raise ValueError(message)
    return heights


def _check_order(*limits: float) -> None:
    if not np.isfinite(limits).all():
        message = f"the limits of a curve must be finite numbers, not {limits}"
        raise ValueError(message)
    if any(later < earlier for earlier, later in pairwise(limits)):
        message = f"the limits of a curve must not fall: {', '.join(f'{limit:g}' for limit in limits)}"
        raise ValueError(message)
