"""The next windows, where the last ones have closed."""

import datetime as dt
from dataclasses import fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.site_windows import SiteWindows, Temperatures
from geo_scout.model.timing import WindowTable
from geo_scout.model.window import MOMENTS
from geo_scout.timing.season_days import LOOK_BACK_DAYS
from geo_scout.timing.texts import joined
from geo_scout.timing.windows import site_windows

_CLOSES = MOMENTS.index("closes")
_STEP_DAYS, _YEAR_DAYS = 30, 366


def next_where_closed(
    windows: SiteWindows, table: WindowTable, temperatures: Temperatures, day: dt.date, scout_days_before: int
) -> SiteWindows:
    """Return the windows at n places, those that have closed before a day replaced by the next ones.

    Parameters
    ----------
    windows
        The windows at the day; they look back over some that are over.
    table, temperatures, scout_days_before
        What they come from, as for `site_windows`.
    day
        The day it is.

    Notes
    -----
    A window without a closing is never over by its dates, and stays. The note of one that is replaced says
    when it closed.
    """
    closed = windows.dates[_CLOSES]
    over = np.asarray(closed < np.datetime64(day), dtype=np.bool_)
    if not over.any():
        return windows
    last = windows.dates[~np.isnat(windows.dates)].max().item()
    for days in range(LOOK_BACK_DAYS + 1, LOOK_BACK_DAYS + _YEAR_DAYS, _STEP_DAYS):
        later = site_windows(table, temperatures, last + dt.timedelta(days=days), scout_days_before)
        # A calendar that comes earlier lower down is followed by the next only after more days.
        if not (later.dates[_CLOSES] == closed)[over].any():
            break
    said = np.full(len(over), "", dtype=object)
    said[over] = [f"the last window closed on {one}" for one in closed[over]]
    return _taken_from(later, windows, over, joined(said, np.where(over, later.note, windows.note)))


def _taken_from(
    later: SiteWindows, windows: SiteWindows, over: NDArray[np.bool_], note: NDArray[np.object_]
) -> SiteWindows:
    """Return the later windows at some places, and the others as they were."""
    by_place: dict[str, Any] = {}
    for one in fields(SiteWindows):
        now, then = getattr(windows, one.name), getattr(later, one.name)
        if isinstance(now, np.ndarray) and isinstance(then, np.ndarray):
            by_place[one.name] = np.where(over, then, now)
    return replace(windows, **(by_place | {"note": note}))
