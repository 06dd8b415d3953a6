"""Whether ground stands above or below its surroundings."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

LEAST_KNOWN_SHARE = 0.9
"""With less of the surroundings known than this there is no relative position: on a slope, surroundings that
lack one side are too high or too low. Our choice [share]."""


def relative_position_m(
    elevation_m: ArrayLike, rows: NDArray[np.int64], columns: NDArray[np.int64], reach: tuple[int, int]
) -> FloatArray:
    """Return how far cells stand above the mean of the cells around them.

    Parameters
    ----------
    elevation_m
        Elevations, (rows, columns); nan where missing [m].
    rows, columns
        (n,) the cells asked for.
    reach
        How many rows and how many columns the surroundings reach in each of the two directions; each at
        least 1. The surroundings are a rectangle without the cell itself.

    Returns
    -------
    numpy.ndarray
        (n,) height above the mean of the surroundings, negative in a hollow; nan where the cell, or more
        than a tenth of its surroundings, is missing [m].

    Notes
    -----
    What is beyond the array is missing. The first use took a circle around the cell; a square of the
    same reach has a sum for every cell in four look-ups, however wide it is. Reaching one cell it is the
    difference to the mean of the eight neighbours.

    References
    ----------
    Guisan, A., Weiss, S.B. & Weiss, A.D. 1999. GLM versus CCA spatial modeling of plant species
    distribution. Plant Ecology 143: 107-122 (topographic position index); Weiss, A. 2001. Topographic
    position and landforms analysis. Poster, ESRI User Conference, San Diego. Both from memory.

    Examples
    --------
    >>> cell = np.array([1])
    >>> relative_position_m([[0, 0, 0], [0, 9, 0], [0, 0, 8]], cell, cell, (1, 1)).tolist()
    [8.0]
    """
    elevation = np.asarray(elevation_m, dtype=np.float64)
    if elevation.ndim != 2 or min(reach) < 1:
        message = (
            f"elevation_m of shape {elevation.shape} and a reach of {reach}; rows, columns and 1 or more"
        )
        raise ValueError(message)
    is_known = np.isfinite(elevation)
    if not is_known.any():
        return np.full(len(rows), np.nan)
    # Sums of small numbers keep their last digits.
    datum_m = elevation[is_known].mean()
    height = np.where(is_known, elevation - datum_m, 0.0)
    here = np.where(is_known, elevation - datum_m, np.nan)[rows, columns]
    count = _box_sums(is_known.astype(np.float64), rows, columns, reach) - 1.0
    wanted = (2 * reach[0] + 1) * (2 * reach[1] + 1) - 1
    around = _box_sums(height, rows, columns, reach) - here
    with np.errstate(invalid="ignore", divide="ignore"):
        position = here - around / count
    return np.where(count >= LEAST_KNOWN_SHARE * wanted, position, np.nan)


def _box_sums(
    values: FloatArray, rows: NDArray[np.int64], columns: NDArray[np.int64], reach: tuple[int, int]
) -> FloatArray:
    """Return the sum over the rectangle around each cell, cut off at the array's edge."""
    total = np.zeros((values.shape[0] + 1, values.shape[1] + 1))
    np.cumsum(values, axis=0, out=total[1:, 1:])
    np.cumsum(total[1:, 1:], axis=1, out=total[1:, 1:])
    north, south = np.maximum(rows - reach[0], 0), np.minimum(rows + reach[0] + 1, values.shape[0])
    west, east = np.maximum(columns - reach[1], 0), np.minimum(columns + reach[1] + 1, values.shape[1])
    return np.asarray(total[south, east] - total[north, east] - total[south, west] + total[north, west])
