"""Criteria that order the sites alike, so that they count one thing twice."""

from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.tied_ranks import tied_ranks

FloatArray = NDArray[np.float64]

LEAST_SITES = 10  # our choice: among fewer, criteria look alike by chance


class RedundantPair(NamedTuple):
    """Two criteria whose values rise together.

    Parameters
    ----------
    first, second
        Columns of the criteria.
    correlation
        Spearman's rank correlation of their values [-1 to 1].
    site_count
        Sites with both values.
    """

    first: int
    second: int
    correlation: float
    site_count: int


def rank_correlation(first: ArrayLike, second: ArrayLike) -> float:
    """Return Spearman's rank correlation of two columns of values.

    Parameters
    ----------
    first, second
        Values, (n,) each; a site with a nan in either is left out [any].

    Returns
    -------
    float
        Pearson's correlation of the ranks, equal values sharing the mean of their ranks; nan where a column
        does not vary or fewer than two sites have both [-1 to 1].

    References
    ----------
    Spearman, C. 1904. The proof and measurement of association between two things. American Journal of
    Psychology 15: 72-101.

    Examples
    --------
    >>> round(rank_correlation([1, 2, 3, 4], [10, 30, 20, 40]), 6)
    0.8
    """
    one, other = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    known = ~(np.isnan(one) | np.isnan(other))
    if known.sum() < 2:
        return float("nan")
    return _correlation(_centred_ranks(one[known]), _centred_ranks(other[known]))


def _centred_ranks(column: FloatArray) -> FloatArray:
    return tied_ranks(column).mean - (len(column) + 1) / 2


def _correlation(one: FloatArray, other: FloatArray) -> float:
    spread = float(np.sqrt((one @ one) * (other @ other)))
    return float(np.clip(one @ other / spread, -1.0, 1.0)) if spread > 0 else float("nan")


def redundant_criteria(
    values: ArrayLike, level: float, least_sites: int = LEAST_SITES
) -> list[RedundantPair]:
    """Return the pairs of criteria whose values correlate at a level or above, the strongest first.

    Parameters
    ----------
    values
        One row per site, one column per criterion, after the value curves, so that higher is better in
        each, (n, k); nan where unknown [0-1].
    level
        From which correlation on a pair is named; the level itself is named [-1 to 1].
    least_sites
        A pair known together at fewer sites is not judged.

    Raises
    ------
    ValueError
        The values are no table.

    Notes
    -----
    Only criteria that rise together count a thing twice. Two that fall against each other are a trade-off.
    Equal correlations come in the order of the columns.

    Examples
    --------
    >>> column = np.arange(12.0)
    >>> redundant_criteria(np.column_stack([column, -column, column**2]), level=0.9)
    [RedundantPair(first=0, second=2, correlation=1.0, site_count=12)]
    """
    table = np.asarray(values, dtype=np.float64)
    if table.ndim != 2:
        message = f"values make a table of sites and criteria, not one of shape {table.shape}"
        raise ValueError(message)
    known = ~np.isnan(table)
    # Columns known everywhere are ranked once, not once for each pair.
    ranks = [
        _centred_ranks(column) if all_.all() else None for column, all_ in zip(table.T, known.T, strict=True)
    ]
    found = []
    for first, second in combinations(range(table.shape[1]), 2):
        count = int((known[:, first] & known[:, second]).sum())
        if count < max(least_sites, 2):
            continue
        one, other = ranks[first], ranks[second]
        if one is not None and other is not None:
            correlation = _correlation(one, other)
        else:
            correlation = rank_correlation(table[:, first], table[:, second])
        if correlation >= level:
            found.append(RedundantPair(first, second, correlation, count))
    return sorted(found, key=lambda pair: -pair.correlation)
