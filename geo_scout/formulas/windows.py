"""Window dates by heat, by the host's stage, by a calendar shifted with elevation, or unknown."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.degree_days.sums import Reached
from geo_scout.model.window import MOMENTS, Window, WindowKind

FloatArray = NDArray[np.float64]


def window_sums(scout: float | None, opens: float, peaks: float | None, closes: float | None) -> FloatArray:
    """Return the four heat sums of a window as `day_reached` takes them, nan for one nobody published.

    Parameters
    ----------
    scout, opens, peaks, closes
        Heat sums in rising order; None where there is none [degree-days of one unit].

    Returns
    -------
    numpy.ndarray
        (4,), same unit [degree-days].

    Raises
    ------
    ValueError
        If a sum is negative or lower than one before it.

    Examples
    --------
    >>> window_sums(1000.0, 1200.0, None, 1600.0).tolist()
    [1000.0, 1200.0, nan, 1600.0]
    """
    sums = _four((scout, opens, peaks, closes), "heat sum")
    if (sums < 0).any():
        message = f"a heat sum is negative ({np.nanmin(sums)})"
        raise ValueError(message)
    return sums


def window_by_heat(reached: Reached, scout_days_before: float | None = None) -> Window:
    """Return windows from the days on which four heat sums are reached.

    Parameters
    ----------
    reached
        Days of scouting start, opening, peak and closing, (4, n), as `day_reached` gives them [days].
    scout_days_before
        Scouting starts so many days before the opening instead of at a heat sum [days].

    Returns
    -------
    Window
        A closing that is not reached stays nan and known: the window does not close by heat that year [days].

    Raises
    ------
    ValueError
        If scouting would start after the opening, or there are not four moments.

    Examples
    --------
    >>> days = Reached(np.array([[np.nan], [80.0], [95.0], [110.0]]), np.array([[False]] + 3 * [[True]]))
    >>> window_by_heat(days, scout_days_before=14.0).day.ravel().tolist()
    [66.0, 80.0, 95.0, 110.0]
    """
    day, known = np.array(reached.day, dtype=np.float64), np.array(reached.known, dtype=np.bool_)
    if scout_days_before is not None and len(day) == len(MOMENTS):
        if scout_days_before < 0:
            message = f"scouting would start {-scout_days_before} days after the opening"
            raise ValueError(message)
        day[0], known[0] = day[1] - scout_days_before, known[1]
    return Window("degree_days", day, known)


def window_by_host_stage(stage_day: ArrayLike, days_after: Sequence[float | None]) -> Window:
    """Return windows that follow a stage of the host plant.

    Parameters
    ----------
    stage_day
        Day on which the host reaches the stage, (n,); nan where nobody knows [days].
    days_after
        Scouting start, opening, peak and closing, in rising order, in days after the stage; negative is
        before it, None is not known [days].

    Returns
    -------
    Window
        On the calendar of `stage_day` [days].

    Raises
    ------
    ValueError
        If there are not four moments in rising order.

    Examples
    --------
    >>> window_by_host_stage([160.0, np.nan], [-7, 0, 5, 14]).closes_day.tolist()
    [174.0, nan]
    """
    day = np.asarray(stage_day, dtype=np.float64)[None, :] + _four(days_after, "day")[:, None]
    return _as_known("host_stage", day)


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
    >>> window_by_calendar([None, 150, 160, 175], [900.0, 1150.0], 900.0, 4.0).opens_day.tolist()
    [150.0, 160.0]
    """
    delay = (np.asarray(elevation_m, dtype=np.float64) - reference_elevation_m) / 100.0 * days_per_100_m
    return _as_known("calendar", _four(days, "day")[:, None] + delay[None, :])


def window_unknown(sites: int) -> Window:
    """Return the window of an agent nobody has timed: no day, and not known.

    Parameters
    ----------
    sites
        Number of sites.

    Returns
    -------
    Window
        All nan and not known [days].
    """
    return _as_known("unknown", np.full((len(MOMENTS), sites), np.nan))


def _as_known(kind: WindowKind, day: FloatArray) -> Window:
    return Window(kind, day, np.asarray(~np.isnan(day), dtype=np.bool_))


def _four(moments: Sequence[float | None], what: str) -> FloatArray:
    values = np.array([np.nan if one is None else one for one in moments], dtype=np.float64)
    if len(values) != len(MOMENTS):
        message = f"{len(values)} moments are given; {', '.join(MOMENTS)} are needed"
        raise ValueError(message)
    if (np.diff(values[~np.isnan(values)]) < 0).any():
        message = (
            f"each {what} must be no lower than the one before: {values.tolist()} ({', '.join(MOMENTS)})"
        )
        raise ValueError(message)
    return values
