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


_CURVES: dict[str, tuple[Callable[..., FloatArray], int]] = {
    "rising": (rising, 2),
    "falling": (falling, 2),
    "plateau": (plateau, 4),
}


def curve_range(
    shape: str, limits: Sequence[float], low: ArrayLike, high: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return the lowest and the highest value that a curve takes over an interval of measures.

    Parameters
    ----------
    shape
        "rising", "falling" or "plateau".
    limits
        The limits of that curve, in the order of its function [unit of the criterion].
    low, high
        Ends of the interval, broadcast; exchanged where `low` is above `high` [unit of the criterion].

    Returns
    -------
    lowest, highest : numpy.ndarray
        Values; nan where an end of the interval is nan [0-1].

    Raises
    ------
    ValueError
        The shape is unknown, or the limits are too few, too many, not finite or out of order.

    Examples
    --------
    >>> lowest, highest = curve_range("plateau", [0.0, 10.0, 20.0, 40.0], [5.0], [30.0])
    >>> lowest.tolist(), highest.tolist()
    ([0.5], [1.0])
    """
    if shape not in _CURVES:
        message = f"there is no curve '{shape}'; the curves are {', '.join(_CURVES)}"
        raise ValueError(message)
    curve, limit_count = _CURVES[shape]
    if len(limits) != limit_count:
        message = f"a {shape} curve has {limit_count} limits, not {len(limits)}"
        raise ValueError(message)
    first, second = np.broadcast_arrays(np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64))
    left, right = np.minimum(first, second), np.maximum(first, second)
    value_left, value_right = curve(left, *limits), curve(right, *limits)
    highest = np.maximum(value_left, value_right)
    if shape == "plateau":
        highest = np.where((left <= limits[2]) & (right >= limits[1]), 1.0, highest)
    return np.minimum(value_left, value_right), highest


def _check_order(*limits: float) -> None:
    if not np.isfinite(limits).all():
        message = f"the limits of a curve must be finite numbers, not {limits}"
        raise ValueError(message)
    if any(later < earlier for earlier, later in pairwise(limits)):
        message = f"the limits of a curve must not fall: {', '.join(f'{limit:g}' for limit in limits)}"
        raise ValueError(message)
