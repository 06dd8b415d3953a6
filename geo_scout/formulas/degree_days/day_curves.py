"""The shape of a day between its two extremes: how much lies above a threshold, and for how long.

These run over sites x days many times, so they work in place where they can: memory costs more than
arithmetic here.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# A day with less than this between its extremes has one temperature [degC].
_LEAST_AMPLITUDE = 1e-12


class DayCurve(NamedTuple):
    """A shape of the day.

    Parameters
    ----------
    area
        From extremes and a threshold, the mean over the day of the excess above the threshold [degC days].
    share
        From the same, the part of the day above the threshold, 0-1 [share].
    """

    area: Callable[[FloatArray, FloatArray, float], FloatArray]
    share: Callable[[FloatArray, FloatArray, float], FloatArray]


def sine_area(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the area that a sine wave between two extremes has above a threshold.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, low not above high, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        Area, same shape; nan where an extreme is nan [degC days].

    Notes
    -----
    With u = (T - mean) / amplitude held within -1 and 1: (mean - T) arccos(u) / pi + amplitude sqrt(1 - u^2)
    / pi. At the two ends this is the whole day and nothing, so that the six cases usually tabulated need no
    branches.

    References
    ----------
    Baskerville, G.L. & Emin, P. 1969. Ecology 50:514-517. Allen, J.C. 1976. Environmental Entomology
    5:388-396.

    Examples
    --------
    >>> sine_area(np.array([0.0]), np.array([20.0]), 10.0).round(4).tolist()
    [3.1831]
    """
    excess = low_degc + high_degc
    excess *= 0.5
    amplitude = high_degc - excess
    excess -= threshold_degc
    u = np.maximum(amplitude, _LEAST_AMPLITUDE)
    np.divide(excess, u, out=u)
    np.negative(u, out=u)
    np.clip(u, -1.0, 1.0, out=u)
    area = np.arccos(u)
    area *= excess
    u *= u
    np.subtract(1.0, u, out=u)
    np.sqrt(u, out=u)
    u *= amplitude
    area += u
    area /= np.pi
    return np.maximum(area, 0.0, out=area)


def sine_share(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the part of the day that a sine wave between two extremes is above a threshold.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, low not above high, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        arccos(u) / pi with u as in `sine_area`, same shape; nan where an extreme is nan [share].

    Examples
    --------
    >>> sine_share(np.array([0.0, 0.0]), np.array([20.0, 10.0]), 10.0).tolist()
    [0.5, 0.0]
    """
    mean, amplitude = (low_degc + high_degc) / 2.0, (high_degc - low_degc) / 2.0
    u = np.clip((threshold_degc - mean) / np.maximum(amplitude, _LEAST_AMPLITUDE), -1.0, 1.0)
    return _nothing_at_the_top(np.arccos(u) / np.pi, high_degc, threshold_degc)


def triangle_area(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the area that two straight lines between the extremes have above a threshold.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, low not above high, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        Area, same shape; nan where an extreme is nan [degC days].

    References
    ----------
    Zalom, F.G. et al. 1983. Degree-days: the calculation and use of heat units in pest management. University
    of California leaflet 21373 (formulas as compiled from it).

    Examples
    --------
    >>> triangle_area(np.array([0.0]), np.array([20.0]), 10.0).tolist()
    [2.5]
    """
    width = high_degc - low_degc
    area = np.maximum(width, _LEAST_AMPLITUDE)
    np.divide(high_degc - threshold_degc, area, out=area)
    np.clip(area, 0.0, 1.0, out=area)
    area *= area
    width *= 0.5
    area *= width
    area += np.maximum(low_degc - threshold_degc, 0.0)
    return area


def triangle_share(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the part of the day that two straight lines between the extremes are above a threshold.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, low not above high, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        Share, same shape; nan where an extreme is nan [share].

    Examples
    --------
    >>> triangle_share(np.array([0.0]), np.array([20.0]), 15.0).tolist()
    [0.25]
    """
    width = np.maximum(high_degc - low_degc, _LEAST_AMPLITUDE)
    share = np.clip((high_degc - threshold_degc) / width, 0.0, 1.0)
    return _nothing_at_the_top(share, high_degc, threshold_degc)


def level_area(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the area of a day that is at its mean all day long.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        Area, same shape; nan where an extreme is nan [degC days].

    References
    ----------
    McMaster, G.S. & Wilhelm, W.W. 1997. Agricultural and Forest Meteorology 87:291-300, method 1.
    """
    return np.maximum((low_degc + high_degc) / 2.0 - threshold_degc, 0.0)


def level_share(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return whether the mean of the extremes is above a threshold.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        0 or 1, same shape; nan where an extreme is nan [share].
    """
    return _is_above((low_degc + high_degc) / 2.0, threshold_degc)


def two_level_area(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the area of a day half at its maximum and half at its minimum.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        Area, same shape; nan where an extreme is nan [degC days].

    References
    ----------
    McMaster, G.S. & Wilhelm, W.W. 1997. Agricultural and Forest Meteorology 87:291-300, method 2.
    """
    area = np.maximum(low_degc, threshold_degc)
    area += np.maximum(high_degc, threshold_degc)
    area *= 0.5
    area -= threshold_degc
    return area


def two_level_share(low_degc: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Return the half-days above a threshold of a day half at its maximum and half at its minimum.

    Parameters
    ----------
    low_degc, high_degc
        Extremes, any equal shapes [degC].
    threshold_degc
        The threshold [degC].

    Returns
    -------
    numpy.ndarray
        0, a half or 1, same shape; nan where an extreme is nan [share].
    """
    return (_is_above(low_degc, threshold_degc) + _is_above(high_degc, threshold_degc)) / 2.0


SINE = DayCurve(sine_area, sine_share)
TRIANGLE = DayCurve(triangle_area, triangle_share)
LEVEL = DayCurve(level_area, level_share)
TWO_LEVELS = DayCurve(two_level_area, two_level_share)


def _is_above(temperature_degc: FloatArray, threshold_degc: float) -> FloatArray:
    return np.where(np.isnan(temperature_degc), np.nan, temperature_degc > threshold_degc)


def _nothing_at_the_top(share: FloatArray, high_degc: FloatArray, threshold_degc: float) -> FloatArray:
    """Give a day that touches the threshold from below no share, also where it has no amplitude."""
    return np.where(high_degc <= threshold_degc, 0.0, share)
