"""The ways a column of text can be read as dates."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator

import numpy as np

from geo_scout.layers.cells.dates import as_dates

_DAY_ORDERS = ("%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%d-%m-%Y", "%m-%d-%Y", "%Y-%m-%d", "%Y/%m/%d", "%Y.%m.%d",
               "%Y%m%d", "%d %b %Y", "%d-%b-%Y", "%b %d, %Y", "%b %d %Y", "%d %B %Y", "%B %d, %Y", "%d-%b-%y",
               "%d/%m/%y", "%m/%d/%y", "%d.%m.%y")  # fmt: skip
_TIMES = ("", " %H:%M", " %H:%M:%S", " %I:%M %p", " %I:%M:%S %p", "T%H:%M:%S")
_READ_AT_MOST, LEAST_SHARE = 400, 0.95
# A season plans from records of living memory; a year outside these speaks against a format.
_YEARS = (1900, 2100)
# Five digits from 2 are the days from 1954 to 2119.
_DAY_NUMBER = re.compile(r"[2-7][0-9]{4}(?:\.[0-9]+)?")

MEANINGS = {
    "%d": "day", "%m": "month", "%Y": "year", "%b": "month", "%B": "month", "%y": "year of two digits",
}  # fmt: skip


def date_formats(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the formats under which nearly all texts are dates; "" is year-month-day as we read it.

    A short list is looked at: the first 400 texts, and 95 % of them must be dates.

    Examples
    --------
    >>> date_formats(["27/03/2024", "04/03/2024"]), date_formats(["03/04/2024"])
    (('%d/%m/%Y',), ('%d/%m/%Y', '%m/%d/%Y'))
    >>> date_formats(["2024-03-04"]), date_formats(["12", "15"])
    (('',), ())
    """
    looked = [text for _, text in zip(range(_READ_AT_MOST), texts, strict=False)]
    if not looked:
        return ()
    _, unreadable = as_dates(np.array(looked, dtype=object), None)
    if unreadable.mean() <= 1.0 - LEAST_SHARE:
        return ("",)
    fitting = [pattern for pattern in _patterns(looked[0]) if _share(looked, pattern) >= LEAST_SHARE]
    four = [pattern for pattern in fitting if "%y" not in pattern]
    return tuple(four or fitting)


def is_day_number(text: str) -> bool:
    """Return whether a text can be the day number of a spreadsheet, from 1954 to 2119.

    Examples
    --------
    >>> is_day_number("45870"), is_day_number("2025"), is_day_number("20250701")
    (True, False, False)
    """
    return _DAY_NUMBER.fullmatch(text) is not None


def first_part(pattern: str) -> str:
    """Return in words which part of a date stands first.

    Examples
    --------
    >>> first_part("%d/%m/%Y")
    'day first'
    """
    return f"{MEANINGS.get(pattern[:2], 'year')} first"


def telling_date(texts: Iterable[str], pattern: str) -> str:
    """Return a text that fits a format and not the one with day and month exchanged; empty without one."""
    other = _exchanged(pattern)
    for text in texts:
        if _day(text, pattern) and not _day(text, other):
            return text
    return ""


def _patterns(example: str) -> Iterator[str]:
    """Yield the formats that fit one text, the commonest first."""
    for order in _DAY_ORDERS:
        for time in _TIMES:
            if _day(example, order + time) or _day(example, _exchanged(order) + time):
                yield order + time


def _exchanged(pattern: str) -> str:
    return pattern.replace("%d", "%%").replace("%m", "%d").replace("%%", "%m")


def _share(texts: list[str], pattern: str) -> float:
    return sum(_day(text, pattern) for text in texts) / len(texts)


def _day(text: str, pattern: str) -> bool:
    try:
        day = dt.datetime.strptime(text, pattern).date()  # noqa: DTZ007  a day has no zone
    except ValueError:
        return False
    return _YEARS[0] <= day.year <= _YEARS[1]
