"""The page for Monday morning: what each window does this week and the next."""

import datetime as dt

import numpy as np

from geo_scout.model.site_windows import Dates, FloatArray, SiteWindows, Texts, Weeks
from geo_scout.model.window import MOMENTS

_WEEK = np.timedelta64(7, "D")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip
PAST_PEAK = "past its peak; closing not known"


def monday_of(day: dt.date) -> dt.date:
    """Return the Monday of a day's week.

    >>> monday_of(dt.date(2027, 6, 3)).isoformat()
    '2027-05-31'
    """
    return day - dt.timedelta(days=day.weekday())


def weeks_of(windows: SiteWindows, day: dt.date) -> Weeks:
    """Return what the windows do in the week of a day and in the next.

    Parameters
    ----------
    windows
        The windows at n places.
    day
        Any day of the week; weeks begin on Monday.
    """
    monday = monday_of(day)
    first = np.datetime64(monday, "D")
    return Weeks(monday, _in_week(windows.dates, first), _in_week(windows.dates, first + _WEEK))


def _in_week(dates: Dates, first: np.datetime64) -> Texts:
    words = np.full(dates.shape[1], "", dtype=object)
    after = first + _WEEK
    for place in range(dates.shape[1]):
        own = dates[:, place]
        said = [_state(own, first)] + [
            f"{_EVENTS[moment]} {day.item().day} {_MONTHS[day.item().month - 1]}"
            for moment, day in zip(MOMENTS, own, strict=True)
            if first <= day < after
        ]
        words[place] = ", ".join(one for one in said if one)
    return words


_EVENTS = {"scout": "scouting starts", "opens": "opens", "peaks": "peaks", "closes": "closes"}


def _state(own: Dates, first: np.datetime64) -> str:
    """Return how a window stands as the week begins; comparisons with a date that is not there are false."""
    scout, opens, peaks, closes = own
    if opens < first:
        if closes < first:
            return ""
        return PAST_PEAK if np.isnat(closes) and peaks < first else "open"
    # What never opens need not be scouted for.
    return "scout" if scout < first <= opens else ""


def days_moved(now: Dates, before: Dates) -> FloatArray:
    """Return by how many days each of the four moments moved, (4, n); nan where either has no date [days]."""
    is_known = ~(np.isnat(now) | np.isnat(before))
    moved = (now - before).astype("timedelta64[D]").astype(np.int64)
    return np.where(is_known, moved, np.nan)
