"""How far apart climates are, measured against how much climate varies: the Mahalanobis distance."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.linalg import cho_factor, cho_solve, cholesky, solve_triangular
from scipy.spatial.distance import cdist

FloatArray = NDArray[np.float64]

_ROWS_PER_BLOCK = 8_192
_LARGEST_CONDITION = 1e8
# Share of the largest loading from which a variable is named as part of a near-exact combination.
_LOADING_SHARE = 0.05


def covariance(cells: ArrayLike) -> FloatArray:
    """Return the covariance of climate variables over reference cells (divisor n - 1).

    Parameters
    ----------
    cells
        One row per cell, one column per variable, (n, K); rows with a nan are dropped [own units].

    Returns
    -------
    numpy.ndarray
        Covariance, (K, K); all nan when fewer than two whole rows are left [products of own units].

    Examples
    --------
    >>> covariance([[1.0, 2.0], [3.0, 6.0], [np.nan, 0.0]]).tolist()
    [[2.0, 4.0], [4.0, 8.0]]
    """
    rows = np.asarray(cells, dtype=np.float64)
    whole = rows[np.isfinite(rows).all(axis=1)]
    if len(whole) < 2:
        return np.full((rows.shape[1], rows.shape[1]), np.nan)
    centred = whole - whole.mean(axis=0)
    return np.asarray(centred.T @ centred / (len(whole) - 1), dtype=np.float64)


def mahalanobis(sites: ArrayLike, populations: ArrayLike, covariance: ArrayLike) -> FloatArray:
    """Return the Mahalanobis distance D of every site from every population.

    Parameters
    ----------
    sites
        Climate of the sites, (n, K) [own units].
    populations
        Climate of the populations, (m, K) [own units].
    covariance
        Covariance of the K variables, (K, K) [products of own units].

    Returns
    -------
    numpy.ndarray
        D = sqrt((x - y)^T S^-1 (x - y)), (n, m); nan where a row holds a nan [standard deviations].

    Raises
    ------
    ValueError
        The covariance is not finite and positive definite (ask `condition_problem` first).

    Notes
    -----
    Both are divided by the Cholesky factor of S; after that D is the plain distance. Differences are taken
    before squaring, so equal climates give exactly 0, and rows go in blocks, so memory does not grow.

    References
    ----------
    Mahalanobis, P.C. 1936. On the generalised distance in statistics. Proceedings of the National Institute
    of Sciences of India 2: 49-55 (from memory).

    Examples
    --------
    >>> mahalanobis([[2.0, 3.0]], [[0.0, 0.0]], [[4.0, 0.0], [0.0, 1.0]]).round(6).tolist()
    [[3.162278]]
    """
    site_rows, population_rows = (np.asarray(rows, dtype=np.float64) for rows in (sites, populations))
    factor = cholesky(_usable(covariance), lower=True)
    known_population = np.isfinite(population_rows).all(axis=1)
    # Taking one known climate off both keeps the numbers small; it does not change a difference.
    origin = population_rows[known_population][0] if known_population.any() else np.zeros(len(factor))
    whitened_populations = _whiten(population_rows - origin, factor)
    distance = np.empty((len(site_rows), len(population_rows)))
    for first in range(0, len(site_rows), _ROWS_PER_BLOCK):
        block = slice(first, first + _ROWS_PER_BLOCK)
        if whitened_populations.size:
            distance[block] = cdist(_whiten(site_rows[block] - origin, factor), whitened_populations)
    return distance


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


def share_of_distance(difference: ArrayLike, covariance: ArrayLike) -> FloatArray:
    """Return how much each variable adds to the squared distance, d_j (S^-1 d)_j / D^2.

    Parameters
    ----------
    difference
        Climate of the site minus climate of the population, (..., K) [own units].
    covariance
        Covariance of the K variables, (K, K) [products of own units].

    Returns
    -------
    numpy.ndarray
        Shares, (..., K), which sum to 1; nan where D is 0 or a difference is nan [share].

    Notes
    -----
    With correlated variables a share can be negative: that variable offsets what the others add.

    Examples
    --------
    >>> share_of_distance([2.0, 3.0], [[4.0, 0.0], [0.0, 1.0]]).round(6).tolist()
    [0.1, 0.9]
    """
    array = np.asarray(difference, dtype=np.float64)
    matrix = _usable(covariance)
    rows = array.reshape(-1, len(matrix))
    terms = np.full(rows.shape, np.nan)
    finite = np.isfinite(rows).all(axis=1)
    if finite.any():
        terms[finite] = rows[finite] * cho_solve(cho_factor(matrix, lower=True), rows[finite].T).T
    total = terms.sum(axis=1, keepdims=True)
    shares: FloatArray = np.divide(terms, total, out=np.full(rows.shape, np.nan), where=total > 0)
    return shares.reshape(array.shape)


def condition_problem(
    covariance: ArrayLike, variable_names: Sequence[str], largest_condition: float = _LARGEST_CONDITION
) -> tuple[str, ...]:
    """Return the variables that make the distance meaningless, or an empty tuple.

    Parameters
    ----------
    covariance
        Covariance of the K variables, (K, K) [products of own units].
    variable_names
        Their names, (K,).
    largest_condition
        Condition number of the correlation matrix above which variables depend on each other.

    Returns
    -------
    tuple of str
        In the given order: variables that do not vary or have no known spread; else, when the condition
        number of the correlation matrix is above the largest, those with the largest loadings in the
        directions that nearly vanish (such as bio05, bio06 and bio07 = bio05 - bio06).

    Examples
    --------
    >>> condition_problem([[1.0, 1.0, 0.0], [1.0, 1.0, 0.0], [0.0, 0.0, 2.0]], ["a", "twin of a", "b"])
    ('a', 'twin of a')
    >>> condition_problem([[1.0, 0.5], [0.5, 1.0]], ["a", "b"])
    ()
    """
    matrix = np.asarray(covariance, dtype=np.float64)
    variance = np.diagonal(matrix)
    is_bad = ~(np.isfinite(matrix).all(axis=0) & (variance > 0))
    if not is_bad.any() and len(matrix):
        deviation = np.sqrt(variance)
        eigenvalues, directions = np.linalg.eigh(matrix / deviation[:, None] / deviation)
        vanishing = eigenvalues * largest_condition < eigenvalues[-1]
        loadings = np.abs(directions[:, vanishing])
        is_bad = (loadings >= _LOADING_SHARE * loadings.max(axis=0)).any(axis=1)
    return tuple(name for name, bad in zip(variable_names, is_bad, strict=True) if bad)


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


def _whiten(rows: FloatArray, factor: FloatArray) -> FloatArray:
    finite = np.isfinite(rows).all(axis=1)
    whitened = np.full(rows.shape, np.nan)
    if finite.any():
        whitened[finite] = solve_triangular(factor, rows[finite].T, lower=True).T
    return whitened


def _usable(covariance: ArrayLike) -> FloatArray:
    matrix = np.asarray(covariance, dtype=np.float64)
    is_square = matrix.ndim == 2 and matrix.shape[0] == matrix.shape[1] and len(matrix) > 0
    if not (is_square and np.isfinite(matrix).all() and np.linalg.eigvalsh(matrix)[0] > 0):
        message = "the covariance matrix is not square, finite and positive definite"
        raise ValueError(message)
    return matrix
