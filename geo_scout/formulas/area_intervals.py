"""How far an area under the curve may lie from the one seen, and how many cases narrow that down."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import ndtri

FloatArray = NDArray[np.float64]

CONFIDENCE = 0.95
NO_BETTER_THAN_CHANCE = 0.5
MOST_CASES = 10_000_000


def area_interval(
    area: float, successes: ArrayLike, failures: ArrayLike, confidence: float = CONFIDENCE
) -> tuple[float, float]:
    """Return the areas from which the one seen is no further than chance allows.

    Parameters
    ----------
    area
        Area seen; of several groups their mean, each weighted by its pairs [share].
    successes, failures
        How many of each, one number or (g,) by group; at least 1 everywhere.
    confidence
        How sure the interval is to hold the true area [share].

    Returns
    -------
    tuple of float
        Low and high, within 0-1 [share].

    Notes
    -----
    The variance of an area A from m successes and n failures is A (1 - A) (1 + M (1 - A) / (2 - A) + M A /
    (1 + A)) / (m n), M = (m + n) / 2 - 1. Groups are taken to have one true area, so the variance of their
    weighted mean is the sum of squared weights times theirs. The interval holds each true area from which the
    one seen is no further than the normal limit times the error *there*.

    References
    ----------
    Newcombe, R. G. 2006. Statistics in Medicine 25: 559-573, method 5 (from memory); for groups our own
    extension.

    Examples
    --------
    >>> [round(end, 3) for end in area_interval(0.75, 10, 10)]
    [0.491, 0.897]
    """
    count = np.atleast_1d(successes).astype(np.float64), np.atleast_1d(failures).astype(np.float64)
    reach = float(ndtri((1 + confidence) / 2))
    # Successes and failures swap their parts when the area is turned round, and the variance stays.
    return _lowest_area(area, *count, reach), 1 - _lowest_area(1 - area, *count, reach)


def chance_interval(
    successes: ArrayLike, failures: ArrayLike, confidence: float = CONFIDENCE
) -> tuple[float, float]:
    """Return where the area of an order that is drawn by lot lies.

    Parameters
    ----------
    successes, failures
        How many of each, one number or (g,) by group; at least 1 everywhere.
    confidence
        In how many of the draws [share].

    Returns
    -------
    tuple of float
        Low and high, around 0.5 [share].

    References
    ----------
    Mann, H. B. & Whitney, D. R. 1947. Annals of Mathematical Statistics 18: 50-60: the variance of their U is
    m n (m + n + 1) / 12 (from memory); its law is taken as normal.

    Examples
    --------
    >>> [round(end, 3) for end in chance_interval(10, 10)]
    [0.241, 0.759]
    """
    m, n = np.atleast_1d(successes).astype(np.float64), np.atleast_1d(failures).astype(np.float64)
    weight = m * n / float((m * n).sum())
    half = float(ndtri((1 + confidence) / 2)) * float(np.sqrt((weight**2 * (m + n + 1) / (12 * m * n)).sum()))
    return max(0.0, NO_BETTER_THAN_CHANCE - half), min(1.0, NO_BETTER_THAN_CHANCE + half)


def cases_needed(share: float, half_width: float) -> int:
    """Return how many cases make the interval of an area of 0.5 as narrow as asked.

    Parameters
    ----------
    share
        Share of successes among them, above 0 and below 1 [share].
    half_width
        Half the width of the interval of 95 % [share].

    Returns
    -------
    int
        Successes and failures together. At 0.5 the interval is as good as widest, so fewer do for an area
        that is far from it.

    Raises
    ------
    ValueError
        The share is not inside 0-1, or the half width is not above 0.

    Examples
    --------
    >>> cases_needed(0.5, 0.1), cases_needed(0.8, 0.1)
    (123, 193)
    """
    if not 0.0 < share < 1.0 or not half_width > 0.0:
        message = f"a share of {share} and a half width of {half_width} ask for no number of cases"
        raise ValueError(message)

    def is_enough(cases: int) -> bool:
        some = min(max(round(share * cases), 1), cases - 1)
        low, high = area_interval(NO_BETTER_THAN_CHANCE, some, cases - some)
        return (high - low) / 2 <= half_width

    few, many = 1, 2
    while not is_enough(many) and many < MOST_CASES:
        few, many = many, 2 * many
    while many - few > 1:
        middle = (few + many) // 2
        few, many = (few, middle) if is_enough(middle) else (middle, many)
    return many


def _lowest_area(area: float, successes: FloatArray, failures: FloatArray, reach: float) -> float:
    pairs = successes * failures
    weight = pairs / pairs.sum()
    middle = (successes + failures) / 2 - 1

    def over(true: float) -> float:
        """Return (area - true)^2 less what is allowed, at an area of 1 both without a factor 1 - true."""
        spread = 1 + middle * (1 - true) / (2 - true) + middle * true / (1 + true)
        allowed = reach**2 * true * float((weight**2 * spread / pairs).sum())
        return 1 - true - allowed if area == 1 else (area - true) ** 2 - (1 - true) * allowed

    return 0.0 if area == 0 else float(brentq(over, 0.0, area))
