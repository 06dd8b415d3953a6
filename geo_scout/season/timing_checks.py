"""What the windows of an agent profile must also be true of."""

import datetime as dt
import itertools
from collections.abc import Iterator

from geo_scout.model.problem import Problem
from geo_scout.model.window import MOMENTS
from geo_scout.season.document import Document
from geo_scout.season.wording import KeyPath, show_number, show_value

NO_SUMS = "timing-sums"
_WINDOWS: tuple[KeyPath, ...] = (("timing", "collecting"), ("timing", "receptive"))
# A leap year, so that 29 February is recognised before it is refused by name.
_LEAP_YEAR = 2024


def check_timing(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the windows that their model cannot see."""
    for window in _WINDOWS:
        yield from _check_heat(document, (*window, "heat"))
        yield from _check_calendar(document, (*window, "calendar"))


def month_day(written: str) -> tuple[int, int] | None:
    """Return month and day of "MM-DD"; None where that is no day of the year.

    >>> month_day("03-01"), month_day("02-30"), month_day("3-1")
    ((3, 1), None, None)
    """
    try:
        day = dt.datetime.strptime(f"{_LEAP_YEAR}-{written}", "%Y-%m-%d").replace(tzinfo=dt.UTC)
    except ValueError:
        return None
    return (day.month, day.day) if f"{day.month:02}-{day.day:02}" == written else None


def _check_day(document: Document, path: KeyPath) -> Iterator[Problem]:
    written = document.text(*path)
    if written is None:
        return
    day = month_day(written)
    if day is None:
        what = f"{show_value(written)} is no day written as month and day."
        without_year = written[5:] if month_day(written[5:]) else "05-20"
        yield document.problem(
            "timing-day", path, what, f'write two digits each: {path[-1]} = "{without_year}"'
        )
    elif day == (2, 29):
        what = "29 February does not come every year."
        yield document.problem("timing-day", path, what, f'write {path[-1]} = "02-28" or "03-01"')


def _check_heat(document: Document, path: KeyPath) -> Iterator[Problem]:
    if not document.table(*path):
        return
    yield from _check_day(document, (*path, "start"))
    base, upper = document.number(*path, "base"), document.number(*path, "upper")
    unit = {"degc": " degC", "degf": " degF"}.get(document.text(*path, "unit") or "", "")
    if base is not None and upper is not None and base >= upper:
        what = f"base = {show_number(base)}{unit} is not below upper = {show_number(upper)}{unit}."
        fix = f"exchange them: base = {show_number(upper)}, upper = {show_number(base)}"
        if base == upper:
            fix = "write the two temperatures as published, or remove upper and cutoff."
        yield document.problem("timing-heat", (*path, "base"), what, fix)
    cutoff = document.text(*path, "cutoff")
    if upper is not None and cutoff in (None, "none"):
        what = f"upper = {show_number(upper)}{unit} does nothing without a cutoff."
        fix = 'write the cutoff that was published with it, for example cutoff = "horizontal"'
        yield document.problem("timing-heat", (*path, "upper"), what, fix)
    elif upper is None and cutoff in ("horizontal", "vertical", "intermediate"):
        what = f"cutoff = {show_value(cutoff)} needs the upper temperature it acts above."
        fix = 'add, with your own number for N: upper = N; or write cutoff = "none"'
        yield document.problem("timing-heat", (*path, "cutoff"), what, fix)
    yield from _check_sums(document, (*path, "sums"))


def _check_sums(document: Document, path: KeyPath) -> Iterator[Problem]:
    sums = [(moment, value) for moment in MOMENTS if (value := document.number(*path, moment)) is not None]
    if not sums:
        what = "this window has no heat sum, so no date can follow from it."
        fix = "add what is published, with its own number for N: sums = {opens = N}"
        yield document.problem(NO_SUMS, path, what, fix)
    for (before, less), (after, more) in itertools.pairwise(sums):
        if less >= more:
            what = f"{before} = {show_number(less)} is not below {after} = {show_number(more)}."
            fix = f"write the sums so that they rise from {before} to {after}."
            yield document.problem("timing-heat", (*path, after), what, fix)


def _check_calendar(document: Document, path: KeyPath) -> Iterator[Problem]:
    if not document.table(*path):
        return
    for moment in MOMENTS:
        yield from _check_day(document, (*path, moment))
    if not any(document.text(*path, moment) for moment in MOMENTS):
        what = "this window has no day."
        yield document.problem("timing-calendar", path, what, 'add at least one: opens = "06-10"')
    pair = ("at_elevation_m", "days_per_100m")
    given = [key for key in pair if document.get(*path, key) is not None]
    if len(given) == 1:
        absent = next(key for key in pair if key not in given)
        what = f"{given[0]} stands alone; a shift with elevation needs both."
        fix = f"add, with your own number for N: {absent} = N; or remove {given[0]}."
        yield document.problem("timing-calendar", (*path, absent), what, fix)
