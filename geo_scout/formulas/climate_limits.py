"""A hard limit of the agent's climate, compared with the same named quantity and no other."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.model.climate_quantity import NamedQuantity

FloatArray = NDArray[np.float64]


class LimitCheck(NamedTuple):
    """How values stand to a limit.

    Parameters
    ----------
    is_below, is_above
        (n,) beyond the lowest or the highest value the limit allows; False where the value is missing.
    is_known
        (n,) False where the value is missing: not checked, which is neither inside nor beyond.
    beyond
        (n,) how far beyond the limit, 0 inside, nan where missing [unit of the quantity].
    """

    is_below: NDArray[np.bool_]
    is_above: NDArray[np.bool_]
    is_known: NDArray[np.bool_]
    beyond: FloatArray


class OtherQuantityError(ValueError):
    """A value was held against a limit of something else."""


def check_limit(
    measured: NamedQuantity,
    values: ArrayLike,
    limited: NamedQuantity,
    least: float | None = None,
    most: float | None = None,
) -> LimitCheck:
    """Return which values lie beyond a limit of the same quantity.

    Parameters
    ----------
    measured
        What the values are.
    values
        (n,) nan where missing [unit of the quantity].
    limited
        What the limit is about.
    least, most
        The lowest and the highest value allowed, both still inside; None for no limit on that side [unit of
        the quantity].

    Returns
    -------
    LimitCheck
        One answer for each value.

    Raises
    ------
    OtherQuantityError
        The limit is about another quantity, or about a heat sum of another basis. A mean minimum of the
        coldest month of -12 degC says nothing about a limit of -28 degC for the coldest night of the year.
    ValueError
        The lowest value allowed is above the highest.

    Examples
    --------
    >>> from geo_scout.model.climate_quantity import ClimateQuantity
    >>> rain = NamedQuantity(ClimateQuantity.ANNUAL_PRECIPITATION)
    >>> check_limit(rain, [250.0, 400.0, np.nan], rain, least=300.0).beyond.tolist()
    [50.0, 0.0, nan]
    """
    if measured != limited:
        message = (
            f"{measured.quantity} {measured.basis}".rstrip()
            + f" cannot be held against a limit of {limited.quantity} {limited.basis}".rstrip()
        )
        raise OtherQuantityError(message)
    lowest, highest = -np.inf if least is None else least, np.inf if most is None else most
    if lowest > highest:
        message = f"the lowest value allowed, {lowest:g}, is above the highest, {highest:g}"
        raise ValueError(message)
    array = np.asarray(values, dtype=np.float64)
    is_below, is_above = np.asarray(array < lowest), np.asarray(array > highest)
    beyond = np.where(is_below, lowest - array, np.where(is_above, array - highest, 0.0))
    is_known = ~np.isnan(array)
    return LimitCheck(is_below, is_above, is_known, np.where(is_known, beyond, np.nan))
