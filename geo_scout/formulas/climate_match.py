"""Every site against every population, in blocks of sites, so that memory stays flat."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.model.climate_spread import ClimateSpread

FloatArray = NDArray[np.float64]

# 4 MB of distances: they stay in the processor's cache while they are multiplied, cut at 0 and rooted.
_BLOCK_VALUES = 524_288
# A block is multiplied in thin slices, each too small for the linear algebra library to share between
# threads: on a busy machine waiting for a second thread took ten times longer than the product.
_ROWS_PER_PRODUCT = 16
# Squared distances nearer than this share of the numbers they are a difference of are equal.
_EQUAL_SHARE = 1e-12


class BestMatch(NamedTuple):
    """The population each site is climatically nearest to.

    Parameters
    ----------
    population
        (n,) row of the nearest population; -1 where the site or every population lacks a climate.
    distance
        (n,) its Mahalanobis distance D; nan there [standard deviations].
    """

    population: NDArray[np.intp]
    distance: FloatArray


def whiten(climate: ArrayLike, spread: ClimateSpread) -> FloatArray:
    """Return climate in units of how much it varies: the plain distance of two rows is D.

    Parameters
    ----------
    climate
        (n, K) in the variables of the spread [own units].
    spread
        Covariance and the components kept.

    Returns
    -------
    numpy.ndarray
        (n, kept); a row that lacks a variable is all nan [standard deviations].
    """
    rows = np.asarray(climate, dtype=np.float64).reshape(-1, len(spread.variables))
    is_whole = np.asarray(np.isfinite(rows).all(axis=1))
    whitened = np.where(is_whole[:, None], rows, 0.0) @ spread.whitening
    whitened[~is_whole] = np.nan
    return whitened


def distance_of_pairs(difference: ArrayLike, spread: ClimateSpread) -> FloatArray:
    """Return the Mahalanobis distance of named pairs, exact to the last digits and 0 for equal climates.

    Parameters
    ----------
    difference
        Climate of the site minus climate of the population, (..., K) [own units].
    spread
        Covariance and the components kept.

    Returns
    -------
    numpy.ndarray
        D, (...); nan where a difference is nan [standard deviations].
    """
    array = np.asarray(difference, dtype=np.float64)
    distance: FloatArray = np.sqrt((whiten(array, spread) ** 2).sum(axis=1))
    return distance.reshape(array.shape[:-1])


def regional_distance(distance: ArrayLike) -> FloatArray:
    """Return D / sqrt(2), the distance of two places in units of the spread between places.

    The covariance S of the reference cells describes one place about the region's mean. Here two places
    are compared, and the difference of two independent draws has covariance 2 S: its Mahalanobis distance
    is sqrt(d^T (2 S)^-1 d) = D / sqrt(2). A value near sqrt(K) is what two random places of the region
    show. It serves to rank places and is not a probability.

    Parameters
    ----------
    distance
        Mahalanobis distance D with the covariance of reference cells, any shape [standard deviations].

    Returns
    -------
    numpy.ndarray
        Regional distance, same shape [standard deviations of a difference].

    Examples
    --------
    >>> float(regional_distance(2.0).round(4))
    1.4142
    """
    return np.asarray(np.asarray(distance, dtype=np.float64) / np.sqrt(2.0))


def distance_blocks(
    sites: ArrayLike, populations: ArrayLike, spread: ClimateSpread
) -> Iterator[tuple[slice, FloatArray]]:
    """Yield the Mahalanobis distance of some sites from every population, block after block.

    Parameters
    ----------
    sites
        Climate of the sites, (n, K) [own units].
    populations
        Climate of the populations, (m, K) [own units].
    spread
        Covariance and the components kept.

    Yields
    ------
    tuple
        The rows of the block, and D of these sites from every population, (rows, m); nan where either lacks
        a climate [standard deviations]. The array is used again for the next block: copy what must stay.

    Notes
    -----
    One matrix product per block. Squared lengths are subtracted, so a D that is small beside the region's
    own spread has an absolute error of some 1e-7; `distance_of_pairs` gives printed pairs to the last digit.

    References
    ----------
    Mahalanobis, P.C. 1936. On the generalised distance in statistics. Proceedings of the National Institute
    of Sciences of India 2: 49-55 (from memory).

    Examples
    --------
    Pairs nearer than three standard deviations, without ever holding all of them:

    >>> spread = ClimateSpread("regional", ("bio05", "bio06"), 60, np.eye(2), np.eye(2))
    >>> sites, sources = [[25.0, -9.0], [28.0, -5.0]], [[24.0, -9.0], [31.0, -5.0], [20.0, 9.0]]
    >>> for rows, distance in distance_blocks(sites, sources, spread):
    ...     print(rows.start, rows.stop, np.argwhere(distance <= 3.0).tolist())
    0 2 [[0, 0], [1, 1]]
    """
    for rows, square in _squares(sites, populations, spread):
        yield rows, np.sqrt(np.maximum(square, 0.0, out=square), out=square)


def distance_blocks_of_each(
    sites: ArrayLike, populations: ArrayLike, spreads: Sequence[ClimateSpread | None]
) -> Iterator[tuple[slice, FloatArray]]:
    """Yield the Mahalanobis distance of some sites from every population, each by its own covariance.

    Parameters
    ----------
    sites
        Climate of the sites, (n, K) [own units].
    populations
        Climate of the populations, (m, K) [own units].
    spreads
        (m,) covariance of the years of each population; None where it has none.

    Yields
    ------
    tuple
        The rows of the block, and D of these sites from every population, (rows, m); nan where either lacks
        a climate, or the population its covariance [standard deviations]. The array is used again for the
        next block: copy what must stay.

    Notes
    -----
    Differences are taken before they are squared, so D is exact to the last digits and 0 for equal climates.
    """
    there = np.asarray(populations, dtype=np.float64)
    here = np.asarray(sites, dtype=np.float64).reshape(-1, there.shape[-1])
    given = [(row, one.whitening.T) for row, one in enumerate(spreads) if one is not None]
    count = max(1, _BLOCK_VALUES // max(1, len(there)))
    room = np.full((min(count, len(here)), len(there)), np.nan)
    for first in range(0, len(here), count):
        rows = slice(first, min(first + count, len(here)))
        # One variable after the other, so that every step of the arithmetic runs along the sites.
        climate = np.ascontiguousarray(here[rows].T)
        climate[~np.isfinite(climate)] = np.nan
        block = room[: rows.stop - rows.start]
        for row, whitening in given:
            white = whitening @ (climate - there[row][:, None])
            block[:, row] = np.sqrt(np.einsum("ij,ij->j", white, white))
        yield rows, block


def best_match(sites: ArrayLike, populations: ArrayLike, spread: ClimateSpread) -> BestMatch:
    """Return the climatically nearest population of every site, and how far it is.

    Parameters
    ----------
    sites
        Climate of the sites, (n, K) [own units].
    populations
        Climate of the populations, (m, K) [own units].
    spread
        Covariance and the components kept.

    Returns
    -------
    BestMatch
        Row of the population and D. Of populations that are equally near to within rounding the first is
        taken, so the answer does not hang on the machine. D is exact, as by `distance_of_pairs`.
    """
    site_rows, population_rows = (_rows(climate, spread) for climate in (sites, populations))
    usable = np.flatnonzero(np.isfinite(population_rows).all(axis=1))
    nearest = np.full(len(site_rows), -1, dtype=np.intp)
    distance = np.full(len(site_rows), np.nan)
    if len(usable) == 0:
        return BestMatch(nearest, distance)
    offered = population_rows[usable]
    for rows, block in distance_blocks(site_rows, offered, spread):
        known = ~np.isnan(block[:, 0])
        nearest[rows] = np.where(known, usable[_first_of_least(block)], -1)
    known = nearest >= 0
    distance[known] = distance_of_pairs(site_rows[known] - population_rows[nearest[known]], spread)
    return BestMatch(nearest, distance)


def _first_of_least(block: FloatArray) -> NDArray[np.intp]:
    square = np.square(block, out=block)
    least = square.min(axis=1)
    # Lengths were at most about the largest square of the row.
    margin = _EQUAL_SHARE * square.max(axis=1)
    return np.asarray((square <= (least + margin)[:, None]).argmax(axis=1), dtype=np.intp)


def _squares(
    sites: ArrayLike, populations: ArrayLike, spread: ClimateSpread
) -> Iterator[tuple[slice, FloatArray]]:
    """Yield |a|^2 - 2 a.b + |b|^2 as one product of (-2 a, |a|^2, 1) with (b, 1, |b|^2)."""
    site_rows, population_rows = (_rows(climate, spread) for climate in (sites, populations))
    is_known = np.isfinite(population_rows).all(axis=1)
    # Taking the mean of the populations off both keeps the lengths, and so their rounding, small.
    origin = population_rows[is_known].mean(axis=0) if is_known.any() else np.zeros(len(spread.variables))
    right = _columns(whiten(population_rows - origin, spread))
    count = _whole_slices(_BLOCK_VALUES // max(1, len(population_rows)))
    product = np.empty((min(count, _whole_slices(len(site_rows))), len(population_rows)))
    for first in range(0, len(site_rows), count):
        rows = slice(first, min(first + count, len(site_rows)))
        white = whiten(site_rows[rows] - origin, spread)
        is_missing = np.isnan(white).any(axis=1)
        white[is_missing] = 0.0
        length = (white**2).sum(axis=1, keepdims=True)
        left = np.concatenate([-2.0 * white, length, np.ones_like(length)], axis=1)
        block = _product(left, right, product)
        block[is_missing] = np.nan
        block[:, ~is_known] = np.nan
        yield rows, block


def _whole_slices(rows: int) -> int:
    return max(1, -(-rows // _ROWS_PER_PRODUCT)) * _ROWS_PER_PRODUCT


def _product(left: FloatArray, right: FloatArray, room: FloatArray) -> FloatArray:
    """Return left times right, slice by slice, in the first rows of the room."""
    filled = _whole_slices(len(left))
    padded = np.pad(left, ((0, filled - len(left)), (0, 0)))
    slices = padded.reshape(-1, _ROWS_PER_PRODUCT, left.shape[1])
    target = room[:filled].reshape(len(slices), _ROWS_PER_PRODUCT, right.shape[1])
    np.matmul(slices, right, out=target)
    return room[: len(left)]


def _columns(white: FloatArray) -> FloatArray:
    """Return (kept + 2, m): b, 1 and |b|^2 of each population; a missing one counts as the origin."""
    known = np.nan_to_num(white, nan=0.0)
    length = (known**2).sum(axis=1, keepdims=True)
    return np.ascontiguousarray(np.concatenate([known, np.ones_like(length), length], axis=1).T)


def _rows(climate: ArrayLike, spread: ClimateSpread) -> FloatArray:
    return np.asarray(climate, dtype=np.float64).reshape(-1, len(spread.variables))
