"""How likely a visit finds what is there: by the hours spent, and by the season of what is looked for."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def detection_chance(
    found_share: ArrayLike, effort_hours: ArrayLike, reference_hours: ArrayLike
) -> FloatArray:
    """Return the chance that a visit finds the agent where it lives: 1 - (1 - d)^(hours / reference hours).

    Parameters
    ----------
    found_share
        Chance d that the reference hours of looking find it [share].
    effort_hours
        Person-hours spent looking, broadcast against `found_share` [hours].
    reference_hours
        Person-hours that d is meant for, more than 0 [hours].

    Returns
    -------
    numpy.ndarray
        Chance, broadcast shape: 0 without effort, nan where the effort is not known [share].

    Notes
    -----
    Every hour is taken for an independent try. It is not the share of releases found again, which also holds
    those that never took.

    Examples
    --------
    >>> detection_chance(0.6, [0.0, 1.0, 2.0, 4.0], 2.0).round(4).tolist()
    [0.0, 0.3675, 0.6, 0.84]
    """
    missed_share = 1.0 - np.asarray(found_share, dtype=np.float64)
    tries = np.asarray(effort_hours, dtype=np.float64) / np.asarray(reference_hours, dtype=np.float64)
    return np.asarray(1.0 - np.power(missed_share, tries), dtype=np.float64)


def is_in_season(month_day: ArrayLike, first_month_day: int, last_month_day: int) -> NDArray[np.bool_]:
    """Return whether days of the year lie in a season, both ends counted, New Year in it or not.

    Parameters
    ----------
    month_day
        Month x 100 + day.
    first_month_day, last_month_day
        First and last day of the season, in the same way; where the last comes before the first, the season
        crosses New Year.

    Examples
    --------
    >>> is_in_season([601, 715, 801], 610, 731).tolist()
    [False, True, False]
    >>> is_in_season([1130, 1201, 115, 301], 1201, 228).tolist()
    [False, True, True, False]
    """
    day = np.asarray(month_day)
    if first_month_day <= last_month_day:
        return np.asarray((day >= first_month_day) & (day <= last_month_day))
    return np.asarray((day >= first_month_day) | (day <= last_month_day))
