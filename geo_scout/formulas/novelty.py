"""Whether a climate lies outside what the agent's known populations have shown: similarity by MESS."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

LEAST_POPULATIONS = 10


class Novelty(NamedTuple):
    """How like the reference each site is, and what to print where that cannot be scored.

    Parameters
    ----------
    similarity
        (n,) the least of the variables' similarities: 100 at the median of the reference, 0 at its lowest
        value, below 0 outside its range; nan where it is not scored or a variable is missing [pct].
    most_dissimilar
        (n,) column of the variable with the least similarity, the first of equal ones; -1 where similarity
        is nan.
    by_variable
        (n, K) similarity by variable; nan where the value is missing, the variable's reference has no range
        or all are too few [pct].
    low, high
        (K,) range of the reference; nan where it is empty [own units].
    side
        (n, K) -1 below the range, 1 above it, 0 within it or missing. It stands also where nothing is scored.
    populations
        Reference rows with all variables.
    has_range
        (K,) whether the reference varies.
    is_scored
        Whether there were at least ten populations and every variable varies; if not, print the value and
        the range.
    """

    similarity: FloatArray
    most_dissimilar: NDArray[np.intp]
    by_variable: FloatArray
    low: FloatArray
    high: FloatArray
    side: NDArray[np.int8]
    populations: int
    has_range: NDArray[np.bool_]
    is_scored: bool


def measure_novelty(
    sites: ArrayLike, populations: ArrayLike, least_populations: int = LEAST_POPULATIONS
) -> Novelty:
    """Return the multivariate environmental similarity of sites to known populations.

    Parameters
    ----------
    sites
        Climate of the sites, (n, K) [own units].
    populations
        Climate of the known populations, (m, K); rows with a nan are not counted [own units].
    least_populations
        Fewer than these are not scored; ten is our choice: with fewer a percentage says little.

    Notes
    -----
    With f the percentage of reference values *strictly smaller* than the site's value p: f = 0 gives
    100 (p - min) / (max - min); 0 < f <= 50 gives 2 f; 50 < f < 100 gives 2 (100 - f); f = 100 gives
    100 (max - p) / (max - min). Programs that count equal values as smaller differ wherever p is itself a
    reference value; at the lowest value the strict count gives 0, at the highest 2 (100 - f). The answer is
    the same whether precipitation comes as it is or as a logarithm, except outside the range.

    References
    ----------
    Elith, J., Kearney, M. & Phillips, S. 2010. The art of modelling range-shifting species. Methods in
    Ecology and Evolution 1: 330-342.

    Examples
    --------
    >>> reference = np.arange(1.0, 11.0)[:, None]
    >>> measure_novelty([[-1.0], [1.0], [5.5], [12.0]], reference).similarity.round(2).tolist()
    [-22.22, 0.0, 100.0, -22.22]
    """
    reference = np.atleast_2d(np.asarray(populations, dtype=np.float64))
    variables = reference.shape[1]
    rows = np.asarray(sites, dtype=np.float64).reshape(-1, variables)
    reference = reference[np.isfinite(reference).all(axis=1)]
    low, high = _range(reference)
    has_range = np.asarray(high > low)
    by_variable = np.full(rows.shape, np.nan)
    if len(reference) >= least_populations:
        for column in np.flatnonzero(has_range):
            by_variable[:, column] = _similarity(rows[:, column], np.sort(reference[:, column]))
    is_scored = len(reference) >= least_populations and bool(has_range.all()) and variables > 0
    known = ~np.isnan(by_variable).any(axis=1) & is_scored
    worst = np.where(known, np.where(known[:, None], by_variable, 0.0).argmin(axis=1), -1)
    similarity = np.full(len(rows), np.nan)
    similarity[known] = by_variable[known].min(axis=1)
    side = (rows > high).astype(np.int8) - (rows < low).astype(np.int8)
    return Novelty(similarity, worst, by_variable, low, high, side, len(reference), has_range, is_scored)


def _range(reference: FloatArray) -> tuple[FloatArray, FloatArray]:
    if len(reference) == 0:
        empty = np.full(reference.shape[1], np.nan)
        return empty, empty.copy()
    return reference.min(axis=0), reference.max(axis=0)


def _similarity(values: FloatArray, ordered: FloatArray) -> FloatArray:
    low, high = ordered[0], ordered[-1]
    smaller_pct = 100.0 * np.searchsorted(ordered, values, side="left") / len(ordered)
    similarity = np.select(
        [smaller_pct == 0, smaller_pct <= 50, smaller_pct < 100],
        [100 * (values - low) / (high - low), 2 * smaller_pct, 2 * (100 - smaller_pct)],
        100 * (high - values) / (high - low),
    )
    return np.where(np.isfinite(values), similarity, np.nan)
