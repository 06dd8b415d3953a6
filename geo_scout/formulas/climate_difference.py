"""What sets two climates apart: differences in physical units, and each variable's share of the distance."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.climate_match import whiten
from geo_scout.model.climate_spread import ClimateSpread

FloatArray = NDArray[np.float64]

# A share below this is rounding in print, not a variable that offsets.
_LEAST_OFFSET_SHARE = 0.005


class Drivers(NamedTuple):
    """Which variables make a distance.

    Parameters
    ----------
    main
        (...) column of the variable with the largest share; -1 where the climates are the same or unknown.
    share
        (..., K) share of the squared distance; they sum to 1, and nan where there is no distance [share].
    offsets
        (..., K) whether the variable takes off what the others add: its share is negative.
    """

    main: NDArray[np.intp]
    share: FloatArray
    offsets: NDArray[np.bool_]


def physical_difference(site: ArrayLike, population: ArrayLike, is_precipitation: ArrayLike) -> FloatArray:
    """Return site minus population as people say it, precipitation back from its logarithm.

    Parameters
    ----------
    site, population
        Climate with precipitation as ln(P + 1), (..., K), broadcast [degC, ln(mm + 1), ...].
    is_precipitation
        Which of the K columns are precipitation, (K,).

    Returns
    -------
    numpy.ndarray
        Difference, (..., K): below 0 the site is colder, drier or less; nan where either is missing
        [degC, mm, ...].

    Examples
    --------
    >>> physical_difference([-8.0, np.log(301)], [-3.9, np.log(401)], [False, True]).round(6).tolist()
    [-4.1, -100.0]
    """
    here, there = (np.asarray(climate, dtype=np.float64) for climate in (site, population))
    columns = np.asarray(is_precipitation, dtype=bool)
    difference = here - there
    difference[..., columns] = np.expm1(here[..., columns]) - np.expm1(there[..., columns])
    return difference


def find_drivers(difference: ArrayLike, spread: ClimateSpread) -> Drivers:
    """Return which variables make the distance, each by d_j (S^-1 d)_j / D^2.

    Parameters
    ----------
    difference
        Climate of the site minus climate of the population, in the variables of the spread (precipitation
        as ln(P + 1)), (..., K) [own units].
    spread
        Covariance and the components kept.

    Notes
    -----
    Where variables move together a share can be negative: with summers as they are, a cold winter sets a
    place further apart than with cold summers, so the summers offset. Where components were left out, S^-1
    is that of the kept ones and the shares are of that distance.

    Examples
    --------
    >>> from geo_scout.formulas.climate_spread import regional_spread
    >>> spread = regional_spread(np.array([[1, 1], [1, -1], [-1, 1], [-1, -1]] * 5) * [1.0, 2.0], ["a", "b"])
    >>> drivers = find_drivers([1.0, 4.0], spread)
    >>> int(drivers.main), drivers.share.round(6).tolist(), drivers.offsets.tolist()
    (1, [0.2, 0.8], [False, False])
    """
    array = np.asarray(difference, dtype=np.float64)
    white = whiten(array, spread)
    terms = array.reshape(-1, len(spread.variables)) * (white @ spread.whitening.T)
    total = terms.sum(axis=1, keepdims=True)
    share = np.divide(terms, total, out=np.full(terms.shape, np.nan), where=total > 0)
    known = ~np.isnan(share).any(axis=1)
    main = np.where(known, np.where(known[:, None], share, 0.0).argmax(axis=1), -1)
    shape = array.shape
    return Drivers(
        main.reshape(shape[:-1]), share.reshape(shape), (share < -_LEAST_OFFSET_SHARE).reshape(shape)
    )


def unseen_share(difference: ArrayLike, spread: ClimateSpread) -> FloatArray:
    """Return how much of a difference lies in components that were left out since they hardly vary.

    Parameters
    ----------
    difference
        Climate of the site minus climate of the population, (..., K) [own units].
    spread
        Covariance and the components kept.

    Returns
    -------
    numpy.ndarray
        Squared length of what the kept components do not see over the whole squared length, each variable
        in its own standard deviations, (...): 0 where all are kept; nan where a difference is nan or all
        are 0 [share].

    Notes
    -----
    A share that is not small says that the two climates differ in a way the reference never does. D is then
    too small, and the differences themselves should be read.
    """
    array = np.asarray(difference, dtype=np.float64)
    deviation = np.sqrt(spread.covariance.diagonal())
    standard = (array / deviation).reshape(-1, len(deviation))
    kept_directions = np.linalg.qr(spread.whitening * deviation[:, None]).Q
    seen = standard @ kept_directions
    whole = (standard**2).sum(axis=1)
    left = np.maximum(whole - (seen**2).sum(axis=1), 0.0)
    share: FloatArray = np.divide(left, whole, out=np.full(whole.shape, np.nan), where=whole > 0)
    return share.reshape(array.shape[:-1])
