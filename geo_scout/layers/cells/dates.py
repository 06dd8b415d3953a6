"""Dates as people write them become days."""

import datetime as dt
import re
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.layers.cells.text_values import Rows, as_texts
from geo_scout.model.columns import SPREADSHEET_DAY

Days = NDArray[np.datetime64]

# A day, then perhaps a time; OGR writes the dates of shapefiles with slashes.
_ISO = re.compile(r"([0-9]{4})([-/])([0-9]{2})\2([0-9]{2})(?:[T ].*)?")
# From a day to a day, or to one of the same month or year, as ISO 8601 and Darwin Core write it.
_INTERVAL = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:T[^/]*)?/(?:(?:[0-9]{4}-)?[0-9]{2}-)?[0-9]{2}(?:T[^/]*)?"
)
# Day 1 is 1900-01-01, but spreadsheets also count a 29 February 1900, which was none (common practice):
# from day 61, 1900-03-01, the days are those since 1899-12-30.
_DAY_NUMBER = re.compile(r"([0-9]{2,7})(?:\.[0-9]+)?")
_DAY_ZERO, _FIRST_NUMBER = dt.date(1899, 12, 30), 61


def as_dates(values: NDArray[Any], date_format: str | None, *, or_typed: bool = False) -> tuple[Days, Rows]:
    """Return values as days, NaT where missing or unreadable, and which are unreadable.

    Parameters
    ----------
    values
        Text, or whole numbers such as 20240315, (n,).
    date_format
        How dates are written, as in ``datetime.strptime``, or ``"spreadsheet day"`` for days since
        1899-12-30; year-month-day otherwise. A time of day and its zone are dropped: the day is the one
        that was written. Of an interval, 2024-06-20/2024-06-21, the first day is taken.
    or_typed
        Whether cells may also be dates of the file itself, as in spreadsheets: 2024/03/15.

    Examples
    --------
    >>> days, unreadable = as_dates(np.array(["2024-03-15", "15.03.2024", ""], dtype=object), None)
    >>> days.astype("datetime64[D]").astype(str).tolist(), unreadable.tolist()
    (['2024-03-15', 'NaT', 'NaT'], [False, True, False])
    """
    texts = as_texts(values)
    formats = [date_format, None] if or_typed and date_format is not None else [date_format]
    codes, different = pd.factorize(texts)
    read = [next((day for f in formats if (day := _day(str(text), f))), None) for text in different]
    days = np.array(read, dtype="datetime64[s]")[codes]
    return days, np.isnat(days) & (texts != "")


def is_interval(text: str) -> bool:
    """Return whether a text is an interval of days, from which the first is taken.

    Examples
    --------
    >>> is_interval("2024-06-20/2024-06-21"), is_interval("2024-06-20/21"), is_interval("2024/06/20")
    (True, True, False)

    References
    ----------
    ISO 8601, time intervals; Darwin Core Maintenance Group, TDWG. Term eventDate.
    """
    return _INTERVAL.fullmatch(text) is not None


def spreadsheet_day(text: str) -> dt.date | None:
    """Return the day of a spreadsheet's day number, its time of day dropped; None for any other text.

    Examples
    --------
    >>> spreadsheet_day("45000"), spreadsheet_day("44927.75"), spreadsheet_day("2023")
    (datetime.date(2023, 3, 15), datetime.date(2023, 1, 1), datetime.date(1905, 7, 15))
    >>> spreadsheet_day("60"), spreadsheet_day("spring")
    (None, None)
    """
    number = _DAY_NUMBER.fullmatch(text)
    if number is None or int(number[1]) < _FIRST_NUMBER:
        return None
    try:
        return _DAY_ZERO + dt.timedelta(days=int(number[1]))
    except OverflowError:
        return None


def is_no_day(text: str, date_format: str | None) -> bool:
    """Return whether a text is written as dates are, but names a day the calendar does not have.

    Examples
    --------
    >>> is_no_day("2025-02-31", None), is_no_day("31.02.2025", "%d.%m.%Y"), is_no_day("spring", None)
    (True, True, False)
    """
    if date_format is None:
        is_day = _ISO.fullmatch(text) or _INTERVAL.fullmatch(text)
        return is_day is not None and _day(text, None) is None
    try:
        dt.datetime.strptime(text, date_format)  # noqa: DTZ007  a day has no zone
    except ValueError as error:
        return "out of range" in str(error)
    return False


def as_day(text: str) -> str:
    """Return how a day is told: as year-month-day, since a file's own dates may come with slashes.

    Any other text stands in quotes, as it is written.

    Examples
    --------
    >>> as_day("2025/02/30"), as_day("2025-02-30"), as_day("30.02.2025")
    ('2025-02-30', '2025-02-30', "'30.02.2025'")
    """
    iso = _ISO.fullmatch(text)
    return f"{iso[1]}-{iso[3]}-{iso[4]}" if iso else f"'{text}'"


def _day(text: str, date_format: str | None) -> dt.date | None:
    if date_format == SPREADSHEET_DAY:
        return spreadsheet_day(text)
    try:
        if date_format is not None:
            return dt.datetime.strptime(text, date_format).date()  # noqa: DTZ007  a day has no zone
        if over := _INTERVAL.fullmatch(text):
            return dt.date.fromisoformat(over[1])
        iso = _ISO.fullmatch(text)
        return dt.date(int(iso[1]), int(iso[3]), int(iso[4])) if iso else None
    except ValueError:
        return None
