"""How often a success scores higher than a failure of its own group."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.area_intervals import CONFIDENCE, area_interval
from geo_scout.formulas.ranking_skill import AreaUnderCurve, area_under_curve


def area_within_groups(
    score: ArrayLike, came_about: ArrayLike, group: ArrayLike, confidence: float = CONFIDENCE
) -> AreaUnderCurve:
    """Return how often a success scores higher than a failure, counting only pairs of one group.

    Parameters
    ----------
    score
        (n,) score or chance told beforehand, higher for what should succeed; finite [any].
    came_about
        (n,) whether it succeeded.
    group
        (n,) name of the group of each case, such as its district.
    confidence
        How sure the interval is to hold the true area [share].

    Returns
    -------
    AreaUnderCurve
        With the numbers of successes and failures in groups that have both; all nan without such a group.

    Raises
    ------
    ValueError
        The lengths differ or a score is missing.

    Notes
    -----
    Groups may differ in how often anything succeeds, in who looked and in much else; pairs across them would
    mix that in. With one group it is `area_under_curve`. The standard error is of the weighted mean.

    Examples
    --------
    Within each of the two groups the success scores higher, though one success scores lowest of all but one:

    >>> found = area_within_groups([0.2, 0.1, 0.9, 0.8], [1, 0, 1, 0], ["a", "a", "b", "b"])
    >>> found.area, found.successes, found.failures
    (1.0, 2, 2)
    """
    scores, outcome = np.asarray(score, dtype=np.float64), np.asarray(came_about, dtype=bool)
    names = np.asarray(group, dtype=object).astype(str)
    if names.shape != scores.shape:
        message = f"groups of shape {names.shape} do not go with scores of shape {scores.shape}"
        raise ValueError(message)
    every = [area_under_curve(scores[names == one], outcome[names == one]) for one in np.unique(names)]
    parts = [one for one in every if one.successes and one.failures]
    if not parts:
        return AreaUnderCurve(np.nan, np.nan, np.nan, np.nan, 0, 0)
    successes = np.array([one.successes for one in parts])
    failures = np.array([one.failures for one in parts])
    weight = successes * failures / float((successes * failures).sum())
    area = min(float(weight @ _column(parts, "area")), 1.0)
    error = float(np.sqrt(weight**2 @ _column(parts, "standard_error") ** 2))
    low, high = area_interval(area, successes, failures, confidence)
    return AreaUnderCurve(area, error, low, high, int(successes.sum()), int(failures.sum()))


def _column(parts: list[AreaUnderCurve], name: str) -> NDArray[np.float64]:
    return np.array([getattr(one, name) for one in parts], dtype=np.float64)
