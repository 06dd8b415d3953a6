"""Precipitation by its logarithm, as climate distances take it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def with_log_precipitation(values: ArrayLike, is_precipitation: ArrayLike) -> FloatArray:
    """Return a copy with ln(P + 1) in the precipitation columns.

    Parameters
    ----------
    values
        Climate, (..., K) [degC, mm, ...].
    is_precipitation
        Which of the K columns are precipitation, (K,).

    Returns
    -------
    numpy.ndarray
        Same shape; a negative precipitation becomes nan [degC, ln(mm + 1), ...].

    Examples
    --------
    >>> with_log_precipitation([[5.0, np.e - 1]], [False, True]).round(6).tolist()
    [[5.0, 1.0]]
    """
    array = np.array(values, dtype=np.float64)
    columns = np.asarray(is_precipitation, dtype=bool)
    rain = array[..., columns]
    array[..., columns] = np.log1p(np.where(rain >= 0, rain, np.nan))
    return array
