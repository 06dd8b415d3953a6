"""The page for Monday morning: what each window does this week and the next."""

import datetime as dt

import numpy as np

from geo_scout.model.site_windows import Dates, SiteWindows, Texts, Weeks
from geo_scout.model.window import MOMENTS

_WEEK = np.timedelta64(7, "D")


def monday_of(day: dt.date) -> dt.date:
    """Return the Monday of a day's week.

    >>> monday_of(dt.date(2027, 6, 3)).isoformat()
    '2027-05-31'
    """
    return day - dt.timedelta(days=day.weekday())


def weeks_of(windows: SiteWindows, day: dt.date) -> Weeks:
    """Return what the windows do in the week of a day and in the next."""
    monday = monday_of(day)
    first = np.datetime64(monday, "D")
    return Weeks(monday, _in_week(windows.dates, first), _in_week(windows.dates, first + _WEEK))


def _in_week(dates: Dates, first: np.datetime64) -> Texts:
    words = np.full(dates.shape[1], "", dtype=object)
    scout, opens, peaks, closes = dates
    after = first + _WEEK
    with np.errstate(invalid="ignore"):
        is_open = (opens < first) & ((closes >= after) | np.isnat(closes))
        is_scouting = (scout < after) & (np.isnat(opens) | (opens >= after))
    words[is_scouting & ~np.isnat(scout)] = "scout"
    words[is_open] = "open"
    for moment, row in zip(MOMENTS, (scout, opens, peaks, closes), strict=True):
        here = (row >= first) & (row < after)
        named = "scouting starts" if moment == "scout" else moment
        for place in np.flatnonzero(here):
            said = f"{named} {row[place].item():%d %B}"
            words[place] = f"{words[place]}, {said}" if words[place] else said
    return words


def days_moved(now: SiteWindows, before: SiteWindows) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    """Return by how many days each of the four moments moved, (4, n); nan where either has no date [days]."""
    moved = (now.dates - before.dates).astype("timedelta64[D]")
    days = moved.astype(np.float64)
    days[np.isnat(now.dates) | np.isnat(before.dates)] = np.nan
    return np.asarray(days)
