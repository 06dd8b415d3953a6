"""Window dates by a calendar that is shifted with elevation."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.model.window import MOMENTS, Window

FloatArray = NDArray[np.float64]


def window_by_calendar(
    days: Sequence[float | None],
    elevation_m: ArrayLike,
    reference_elevation_m: float,
    days_per_100_m: float,
) -> Window:
    """Return calendar windows, later the higher a site lies.

    Parameters
    ----------
    days
        Scouting start, opening, peak and closing at the reference elevation, in rising order; None is not
        known [days].
    elevation_m
        Elevation of each site, (n,); nan where it is not known, and so is the window then [m].
    reference_elevation_m
        Elevation the days hold for [m].
    days_per_100_m
        Delay for every 100 m up, the user's own; there is no value that holds everywhere [days per 100 m].

    Returns
    -------
    Window
        On the calendar of `days` [days].

    Raises
    ------
    ValueError
        If there are not four moments in rising order.

    References
    ----------
    Hopkins, A.D. 1918. Periodical events and natural law as guides to agricultural research and practice.
    Monthly Weather Review Supplement 9 (from memory): four days for every 400 feet, 3.28 days per 100 m.

    Examples
    --------
    >>> window_by_calendar([None, 150, 160, 175], [900.0, 1150.0], 900.0, 4.0).day[1].tolist()
    [150.0, 160.0]
    """
    delay = (np.asarray(elevation_m, dtype=np.float64) - reference_elevation_m) / 100.0 * days_per_100_m
    day = _four(days)[:, None] + delay[None, :]
    return Window(day, np.asarray(~np.isnan(day), dtype=np.bool_))


def _four(moments: Sequence[float | None]) -> FloatArray:
    values = np.array([np.nan if one is None else one for one in moments], dtype=np.float64)
    if len(values) != len(MOMENTS):
        message = f"{len(values)} moments are given; {', '.join(MOMENTS)} are needed"
        raise ValueError(message)
    if (np.diff(values[~np.isnan(values)]) < 0).any():
        message = f"each day must be no lower than the one before: {values.tolist()} ({', '.join(MOMENTS)})"
        raise ValueError(message)
    return values
