"""What a source could yield: a catch aged to this season, a count with its interval, chances of enough."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaincinv, ndtr

FloatArray = NDArray[np.float64]

RANGE_SHARE = 0.8
"""Share of a supply's chance between its low and its high, read as the 10 and 90 % points [share]."""
_Z_90 = 1.2815515655446004
"""The 90 % point of the standard normal distribution [no unit]."""


def aged_supply(
    rate_per_hour: ArrayLike,
    hours_on_site: float,
    age_years: ArrayLike,
    halving_years: float,
    widening_per_yr: float,
    max_take: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return low, best and high number of agents that a catch of some age promises this season.

    Parameters
    ----------
    rate_per_hour
        Agents caught per person-hour, then [1/hour].
    hours_on_site
        Person-hours of collecting this season [hours].
    age_years
        Years since the catch, broadcast against the rate [years].
    halving_years
        Years after which a catch counts half; inf where it does not age [years].
    widening_per_yr
        Factor by which low and high part from the best with each year; 1 or more [no unit].
    max_take
        Most agents that may be taken [number].

    Returns
    -------
    tuple of numpy.ndarray
        Low, best, high, each at most `max_take`; nan where the rate or the age is nan [number].

    Notes
    -----
    Best = rate x hours x 2^(-age / halving); low and high are the best over and times widening^age. This is
    no model of a population: the weed declines where its agent thrives, and collecting follows it.

    Examples
    --------
    Two years after 100 agents per hour, with three hours, halving in two years and a factor of 2 a year:

    >>> [float(one) for one in aged_supply(100.0, 3.0, 2.0, 2.0, 2.0, 500.0)]
    [37.5, 150.0, 500.0]
    """
    age = np.asarray(age_years, dtype=np.float64)
    best = np.asarray(rate_per_hour, dtype=np.float64) * hours_on_site * np.exp2(-age / halving_years)
    factor = widening_per_yr**age
    low, middle, high = (np.minimum(one, max_take) for one in (best / factor, best, best * factor))
    return low, middle, high


def count_interval(count: ArrayLike, level_share: float = 0.95) -> tuple[FloatArray, FloatArray]:
    """Return the exact interval of the mean behind a count.

    Parameters
    ----------
    count
        Agents counted, 0 or more; nan stays nan [number].
    level_share
        Chance with which the interval holds the mean, at least [share].

    Returns
    -------
    tuple of numpy.ndarray
        Low and high; low is 0 for a count of 0 [number].

    References
    ----------
    Garwood, F. 1936. Fiducial limits for the Poisson distribution. Biometrika 28: 437-442.

    Examples
    --------
    >>> [round(float(one), 3) for one in count_interval(10)]
    [4.795, 18.39]
    """
    seen = np.asarray(count, dtype=np.float64)
    tail = (1.0 - level_share) / 2
    low = np.where(seen == 0, 0.0, gammaincinv(seen, tail))
    return low, np.asarray(gammaincinv(seen + 1, 1 - tail), dtype=np.float64)


NONE_SEEN = float(gammaincinv(1, 0.975))
"""Upper 95 % limit of the mean behind a count of 0 (Garwood 1936) [number]."""


def chance_after_none(high: ArrayLike, needed: float = 1.0) -> FloatArray:
    """Return the chance that a source where none were caught still reaches what is needed.

    Parameters
    ----------
    high
        Upper 95 % limit of what it fills, by `NONE_SEEN` [releases].
    needed
        What is needed [releases].

    Notes
    -----
    With none caught, a mean m of catches in the same hours has the likelihood exp(-m); over all m alike the
    chance of at least m is exp(-m), and what is needed is the share needed / high of `NONE_SEEN`.

    Examples
    --------
    Of what fills a release at the very limit one in forty is left:

    >>> round(float(chance_after_none(1.0)), 3)
    0.025
    """
    top = np.asarray(high, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.exp(-NONE_SEEN * needed / top)


def mean_after_none(high: ArrayLike, needed: float = 1.0, cap: float = np.inf) -> FloatArray:
    """Return what such a source fills on average where it reaches what is needed, at most the cap [releases].

    Examples
    --------
    >>> round(float(mean_after_none(NONE_SEEN)), 3)
    2.0
    """
    return np.asarray(np.minimum(needed + np.asarray(high, dtype=np.float64) / NONE_SEEN, cap))


def chance_of_enough(low: ArrayLike, high: ArrayLike, needed: float = 1.0) -> FloatArray:
    """Return the chance that a supply between low and high reaches what is needed.

    Parameters
    ----------
    low, high
        10 and 90 % points of a supply, above 0; equal where it is known exactly [releases].
    needed
        What is needed [releases].

    Returns
    -------
    numpy.ndarray
        Chance, with the logarithm of the supply normal between the two; nan where either is nan [share].

    Examples
    --------
    Between a half and two releases one is the middle, so the chance of at least one is even:

    >>> float(chance_of_enough(0.5, 2.0))
    0.5
    """
    middle, spread = _logarithms(low, high)
    below = np.log(needed) - middle
    exact = np.where(np.isnan(middle), np.nan, (below <= 0).astype(float))
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(spread > 0, ndtr(-below / spread), exact)


def mean_if_enough(low: ArrayLike, high: ArrayLike, needed: float = 1.0, cap: float = np.inf) -> FloatArray:
    """Return what a supply fills on average where it reaches what is needed.

    Parameters
    ----------
    low, high, needed
        As in `chance_of_enough` [releases].
    cap
        Most that may be taken [releases].

    Returns
    -------
    numpy.ndarray
        Mean of the supply, cut at the cap, given that it is at least `needed`; where that has no chance,
        `needed` itself; nan where low or high is nan [releases].

    Notes
    -----
    With logarithms of mean m and standard deviation s, the mean of the part between a and b is
    exp(m + s^2 / 2) [Phi((m + s^2 - ln a) / s) - Phi((m + s^2 - ln b) / s)].

    Examples
    --------
    >>> float(mean_if_enough(4.0, 4.0)), float(mean_if_enough(4.0, 4.0, cap=3.0))
    (4.0, 3.0)
    """
    middle, spread = _logarithms(low, high)
    exact = np.clip(np.exp(middle), needed, max(cap, needed))
    if cap <= needed:
        return np.where(np.isnan(middle), np.nan, needed)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        lifted = middle + spread**2
        inside = ndtr((lifted - np.log(needed)) / spread) - ndtr((lifted - np.log(cap)) / spread)
        above = ndtr((middle - np.log(cap)) / spread)
        chance = ndtr((middle - np.log(needed)) / spread)
        taken = np.exp(middle + spread**2 / 2) * inside
        mean = (taken + (cap * above if np.isfinite(cap) else 0.0)) / chance
    mean = np.where(chance > 0, np.clip(mean, needed, cap), needed)
    return np.where(spread > 0, mean, exact)


def _logarithms(low: ArrayLike, high: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return mean and standard deviation of the logarithm."""
    with np.errstate(divide="ignore"):
        bottom, top = (np.log(np.asarray(one, dtype=np.float64)) for one in (low, high))
    return (bottom + top) / 2, (top - bottom) / (2 * _Z_90)
