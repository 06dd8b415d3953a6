"""The mean of compass directions, and how much they agree."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

_NO_DIRECTION = 1e-9


def mean_direction_deg(
    east_sum: ArrayLike, north_sum: ArrayLike, weight_sum: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return the mean of directions added up as unit vectors, and how much they agree.

    Parameters
    ----------
    east_sum, north_sum
        Weighted sums of the sines and of the cosines of the directions [1].
    weight_sum
        Sum of their weights.

    Returns
    -------
    direction_deg : numpy.ndarray
        Mean direction, clockwise from north, 0 <= direction < 360; nan where there is none, or where the
        directions cancel out [deg].
    strength : numpy.ndarray
        Mean resultant length, from 0, all ways alike, to 1, all one way; nan where there is no weight [0-1].

    References
    ----------
    Mardia, K.V. & Jupp, P.E. 2000. Directional statistics. Wiley, section 2.2.1 (from memory).

    Examples
    --------
    Of 350 and 10 degrees the mean is north, not south; north and south have none.

    >>> sine, cosine = np.sin(np.radians(10.0)), np.cos(np.radians(10.0))
    >>> direction_deg, strength = mean_direction_deg([0.0, 0.0], [2 * cosine, 0.0], [2.0, 2.0])
    >>> direction_deg.tolist(), strength.round(4).tolist()
    ([0.0, nan], [0.9848, 0.0])
    """
    east, north, weight = (np.asarray(one, dtype=np.float64) for one in (east_sum, north_sum, weight_sum))
    with np.errstate(invalid="ignore", divide="ignore"):
        strength = np.where(weight > 0, np.hypot(east, north) / weight, np.nan)
    direction = np.degrees(np.arctan2(east, north)) % 360.0
    direction = np.where(direction >= 360.0, 0.0, direction)
    return np.where(strength > _NO_DIRECTION, direction, np.nan), np.minimum(strength, 1.0)
