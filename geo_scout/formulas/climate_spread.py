"""The two covariances a climate gap is measured with: of the places of a region, of the years of a place."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.model.climate_spread import (
    STANDARD_RULE,
    ClimateSpread,
    SpreadKind,
    SpreadReason,
    SpreadRefusal,
    SpreadRule,
)

FloatArray = NDArray[np.float64]

# What rounding leaves of a constant or a straight line, as a share of the largest value, is no variability.
_ROUNDING_SHARE = 1e-12
# Share of the largest loading from which a variable is named as part of a near-exact combination.
_LOADING_SHARE = 0.05


def regional_spread(
    cells: ArrayLike, variables: Sequence[str], rule: SpreadRule = STANDARD_RULE
) -> ClimateSpread | SpreadRefusal:
    """Return how climate varies between the cells that hold the host.

    Parameters
    ----------
    cells
        Climate of the reference cells, precipitation as ln(P + 1), (n, K); rows with a nan are not counted
        [own units].
    variables
        Names, (K,).
    rule
        Thresholds.

    Returns
    -------
    ClimateSpread or SpreadRefusal
        The covariance (divisor n - 1), or why there is none: fewer than 10 K cells, a variable that never
        varies, or variables that follow from each other.

    Examples
    --------
    >>> spread = regional_spread([[1.0], [2.0], [3.0]] * 4, ["bio06"])
    >>> spread.kind, spread.sample, spread.kept, spread.covariance.round(4).tolist()
    ('regional', 12, 1, [[0.7273]])
    >>> regional_spread([[1.0], [2.0]], ["bio06"]).reason
    'too_few_cells'
    """
    whole = _whole_rows(cells, len(variables))
    need = rule.sample_per_variable * len(variables)
    if len(whole) < need:
        return SpreadRefusal("regional", "too_few_cells", tuple(variables), len(whole), need)
    residual = _without_rounding(whole - whole.mean(axis=0), whole)
    return _spread("regional", variables, len(whole), need, residual.T @ residual / (len(whole) - 1), rule)


def interannual_spread(
    yearly: ArrayLike, years: ArrayLike, variables: Sequence[str], rule: SpreadRule = STANDARD_RULE
) -> ClimateSpread | SpreadRefusal:
    """Return how climate varies from year to year at one place, without its trend.

    Parameters
    ----------
    yearly
        Climate of each year, precipitation as ln(P + 1), (years, K); years with a nan are not counted
        [own units].
    years
        Calendar years, (years,); gaps are allowed.
    variables
        Names, (K,).
    rule
        Thresholds.

    Returns
    -------
    ClimateSpread or SpreadRefusal
        The covariance of what a straight line over the years leaves, divisor n - 2 since two numbers were
        fitted to each variable; or why there is none: fewer than 20 or 10 K different years, a variable
        that never leaves its line, or variables that follow from each other.

    References
    ----------
    Mahony, C.R., Cannon, A.J., Wang, T. & Aitken, S.N. 2017. A closer look at novel climates. Global Change
    Biology 23, doi 10.1111/gcb.13645 (covariance of year-to-year variability; the divisor is our choice).

    Examples
    --------
    >>> years = np.arange(2000, 2020)
    >>> up_and_down = np.where(years % 2, 1.0, -1.0) + 0.05 * (years - 2000)
    >>> float(interannual_spread(up_and_down[:, None], years, ["bio01"]).covariance[0, 0].round(2))
    1.1
    """
    rows = np.asarray(yearly, dtype=np.float64).reshape(-1, len(variables))
    year = np.asarray(years, dtype=np.float64)
    is_whole = np.isfinite(rows).all(axis=1) & np.isfinite(year)
    rows, year = rows[is_whole], year[is_whole]
    have = len(np.unique(year))
    need = max(rule.least_years, rule.sample_per_variable * len(variables))
    if have < need:
        return SpreadRefusal("interannual", "too_few_years", tuple(variables), have, need)
    residual = _detrended(rows, year)
    return _spread("interannual", variables, have, need, residual.T @ residual / (len(rows) - 2), rule)


def condition_problem(
    covariance: ArrayLike,
    variable_names: Sequence[str],
    largest_condition: float = STANDARD_RULE.largest_condition,
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


def _detrended(rows: FloatArray, year: FloatArray) -> FloatArray:
    centred_year, centred = year - year.mean(), rows - rows.mean(axis=0)
    slope = centred_year @ centred / (centred_year @ centred_year)
    return _without_rounding(centred - centred_year[:, None] * slope, rows)


def _without_rounding(residual: FloatArray, rows: FloatArray) -> FloatArray:
    is_still = np.abs(residual).max(axis=0) <= _ROUNDING_SHARE * np.abs(rows).max(axis=0)
    return np.where(is_still, 0.0, residual)


def _spread(
    kind: SpreadKind, variables: Sequence[str], sample: int, need: int, matrix: FloatArray, rule: SpreadRule
) -> ClimateSpread | SpreadRefusal:
    names = tuple(variables)
    still = tuple(name for name, variance in zip(names, matrix.diagonal(), strict=True) if not variance > 0)
    clash = still or condition_problem(matrix, names, rule.largest_condition)
    if clash:
        reason: SpreadReason = "no_spread" if still else "exact_combination"
        return SpreadRefusal(kind, reason, clash, sample, need)
    return ClimateSpread(kind, names, sample, matrix, _whitening(matrix, rule.least_component_sd))


def _whitening(matrix: FloatArray, least_component_sd: float) -> FloatArray:
    """Return (K, kept) directions of the correlation matrix, each over what it varies by, largest first."""
    deviation = np.sqrt(matrix.diagonal())
    variance, direction = np.linalg.eigh(matrix / deviation[:, None] / deviation)
    kept = variance >= least_component_sd**2
    whitening = direction[:, kept] / np.sqrt(variance[kept]) / deviation[:, None]
    return np.asarray(whitening[:, ::-1], dtype=np.float64)


def _whole_rows(cells: ArrayLike, variables: int) -> FloatArray:
    rows = np.asarray(cells, dtype=np.float64).reshape(-1, variables)
    return rows[np.isfinite(rows).all(axis=1)]
