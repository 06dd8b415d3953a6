"""The chance that an agent lives in a place, year by year and record by record."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

SURE_LOG = -700.0
"""Logarithm of what is left of a doubt when something is sure: next to 0, and finite."""


def after_not_found(chance: ArrayLike, detection: ArrayLike) -> FloatArray:
    """Return the chance after a visit that did not find the agent: p (1 - d) / (1 - p d).

    Parameters
    ----------
    chance
        Chance p before the visit [share].
    detection
        Chance d that the visit finds the agent where it lives; nan changes nothing [share].

    Returns
    -------
    numpy.ndarray
        Chance, broadcast shape, never more than before; 1 where it was certain [share].

    Notes
    -----
    That a visit may report the agent by mistake where it does not live is left out of account here. With a
    chance f of that, a visit in vain would weigh a little less: 1 - p would be multiplied by 1 - f.

    Examples
    --------
    A chance of 0.65 after a visit that would have found it six times in ten: 0.26 / 0.61.

    >>> float(after_not_found(0.65, 0.6).round(4))
    0.4262
    """
    before, seen = np.broadcast_arrays(np.asarray(chance, np.float64), np.asarray(detection, np.float64))
    seen = np.nan_to_num(seen, nan=0.0)
    rest = 1.0 - before * seen
    after = np.divide(before * (1.0 - seen), rest, out=before.copy(), where=rest > 0)
    return np.asarray(after, dtype=np.float64)


def after_found(chance: ArrayLike, detection: ArrayLike, wrong: ArrayLike) -> FloatArray:
    """Return the chance after a visit that reports the agent: p d / (p d + (1 - p) f).

    Parameters
    ----------
    chance
        Chance p before the visit [share].
    detection
        Chance d that a visit reports it where it lives; 0 changes nothing [share].
    wrong
        Chance f that a visit reports it where it does not live; more than d counts as d, for a report never
        speaks against the agent [share].

    Returns
    -------
    numpy.ndarray
        Chance, broadcast shape, never less than before; 1 where f is 0 and d is not [share].

    Examples
    --------
    >>> after_found(0.5, 0.6, [0.0, 0.05, 0.9]).round(4).tolist()
    [1.0, 0.9231, 0.5]
    """
    before, seen, mistaken = np.broadcast_arrays(
        np.asarray(chance, np.float64), np.asarray(detection, np.float64), np.asarray(wrong, np.float64)
    )
    right, false = before * seen, (1.0 - before) * np.minimum(mistaken, seen)
    sure = np.where(seen > 0, 1.0, before)
    bayes = np.divide(right, right + false, out=sure, where=right + false > 0)
    return np.asarray(np.maximum(bayes, before), dtype=np.float64)


def after_release(
    chance: ArrayLike, arrived: ArrayLike, prior: ArrayLike, *, is_independent: bool
) -> FloatArray:
    """Return the chance that the agent lives in a place after one more release there.

    Parameters
    ----------
    chance
        Chance before the release [share].
    arrived
        Chance c, part of it, that the agent arrived from elsewhere [share].
    prior
        Chance that one release establishes [share].
    is_independent
        Whether releases in one place are independent tries; otherwise the larger chance counts. Arrivals are
        always independent of what was put there.

    Examples
    --------
    >>> float(after_release(0.4, 0.0, 0.65, is_independent=False))
    0.65
    >>> round(float(after_release(0.4, 0.0, 0.65, is_independent=True)), 4)
    0.79
    >>> round(float(after_release(0.2, 0.2, 0.5, is_independent=False)), 4)
    0.6
    """
    before, new = np.asarray(chance, dtype=np.float64), np.asarray(prior, dtype=np.float64)
    if is_independent:
        return np.asarray(1.0 - (1.0 - before) * (1.0 - new), dtype=np.float64)
    others = np.asarray(arrived, dtype=np.float64)
    return np.asarray(np.maximum(before, others + (1.0 - others) * new), dtype=np.float64)


def after_year(
    chance: ArrayLike, arrived: ArrayLike, persistence: ArrayLike, hazard: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return chance and arrivals after a year: c' = c + (1 - c) a, and p' = phi (p - c) (1 - a) + c'.

    Parameters
    ----------
    chance
        Chance p that the agent lives in a place [share].
    arrived
        Chance c, part of it, that it arrived from elsewhere [share].
    persistence
        Chance phi that a population alive one year is alive the next [share].
    hazard
        Chance a that the agent arrives in the year where it never did [share].

    Returns
    -------
    chance, arrived : numpy.ndarray
        The same after the year, broadcast shapes [share].

    Notes
    -----
    Persistence wears down what stands alone. What arrived is worn down at its origin, whose chance is that of
    today: were it worn down here as well, an early arrival from near by would count less than a late one from
    far off. So without visits an origin farther away never makes a place surer. With phi = 1 it is
    p + (1 - p) a.

    Examples
    --------
    >>> chance, arrived = after_year(0.6, 0.1, 0.9, 0.2)
    >>> round(float(chance), 6), round(float(arrived), 6)
    (0.64, 0.28)
    """
    comes, others = np.asarray(hazard, dtype=np.float64), np.asarray(arrived, dtype=np.float64)
    after = others + (1.0 - others) * comes
    alone = np.asarray(chance, dtype=np.float64) - others
    stays = alone * np.asarray(persistence, dtype=np.float64) * (1.0 - comes)
    return np.asarray(stays + after, dtype=np.float64), np.asarray(after, dtype=np.float64)


def log_not_reached(took: ArrayLike, reach: ArrayLike) -> FloatArray:
    """Return ln(1 - P h) of an origin and a place, and `SURE_LOG` where it is sure to have arrived.

    Parameters
    ----------
    took
        Chance P that the origin ever took [share].
    reach
        Reach h of the origin at the place, broadcast against `took` [share].

    Notes
    -----
    The logarithms of several origins add up; with S(t) their sum, the chance that the agent has arrived by
    then is 1 - exp(S(t)), and `arrival_hazard` makes the chance of one year of it.
    """
    arrived = np.asarray(took, dtype=np.float64) * np.asarray(reach, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.asarray(np.maximum(np.log1p(-arrived), SURE_LOG), dtype=np.float64)


def arrival_hazard(log_before: ArrayLike, log_now: ArrayLike) -> FloatArray:
    """Return the chance of a first arrival in one year: 1 - (1 - A(y)) / (1 - A(y - 1)), never below 0.

    Parameters
    ----------
    log_before, log_now
        Sum over the origins of ln(1 - P h) at the end of the year before and of this year.

    Returns
    -------
    numpy.ndarray
        Hazard, broadcast shape; 0 where nothing new can have arrived [share].

    Examples
    --------
    >>> float(arrival_hazard(np.log(0.9), np.log(0.72)).round(6))
    0.2
    """
    change = np.asarray(log_now, dtype=np.float64) - np.asarray(log_before, dtype=np.float64)
    return np.asarray(-np.expm1(np.minimum(change, 0.0)), dtype=np.float64)
