"""What the windows of an agent profile must also be true of."""

import datetime as dt
import itertools
import math
from collections.abc import Iterator

from geo_scout.model.problem import Problem
from geo_scout.model.window import MOMENTS
from geo_scout.season.document import Document
from geo_scout.season.wording import KeyPath, show_number, show_value

NO_SUMS = "timing-sums"
# Published bases run from -2.6 to 13.3 degC; wider than that, and the same in degF (our choice).
_BASES = {"degc": (-10.0, 30.0), "degf": (14.0, 86.0)}
# A window may cross New Year, but none lasts so long (our choice).
_LONGEST_DAYS = 300
_WINDOWS: tuple[KeyPath, ...] = (("timing", "collecting"), ("timing", "receptive"))
# A leap year, so that 29 February is recognised before it is refused by name.
_LEAP_YEAR = 2024
_FEB_29 = (2, 29)
_YEAR, _DAYS = 2025, 365


def check_timing(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the windows that their model cannot see."""
    for window in _WINDOWS:
        yield from _check_heat(document, (*window, "heat"))
        yield from _check_calendar(document, (*window, "calendar"))
        yield from _check_start(document, window)


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


def _meant_day(written: str) -> str:
    """Return the day that is meant by a date with its year, or with the month in words; empty for another.

    >>> _meant_day("2027-07-05"), _meant_day("1 January"), _meant_day("Mar 15"), _meant_day("31-06")
    ('07-05', '01-01', '03-15', '')
    """
    if month_day(written[5:]):
        return written[5:]
    for form in ("%d %B", "%B %d", "%d %b", "%b %d", "%d. %B", "%m-%d"):
        try:
            day = dt.datetime.strptime(f"{_LEAP_YEAR} {written.strip()}", f"%Y {form}").replace(tzinfo=dt.UTC)
        except ValueError:
            continue
        return f"{day:%m-%d}"
    return ""


def check_day(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a day of the year that is not written as MM-DD, or does not come every year."""
    written = document.text(*path)
    if written is None:
        return
    day = month_day(written)
    if day is None:
        what = f"{show_value(written)} is no day written as month and day."
        meant = _meant_day(written)
        example = f'{path[-1]} = "{meant or "05-20"}"'
        fix = (
            f"write two digits each: {example}" if meant else f"write two digits each, for example {example}"
        )
        yield document.problem("timing-day", path, what, fix)
    elif day == _FEB_29:
        what = "29 February does not come every year."
        yield document.problem("timing-day", path, what, f'write {path[-1]} = "02-28" or "03-01"')


def _check_heat(document: Document, path: KeyPath) -> Iterator[Problem]:
    if not document.table(*path):
        return
    yield from check_day(document, (*path, "start"))
    base, upper = document.number(*path, "base"), document.number(*path, "upper")
    unit = {"degc": " degC", "degf": " degF"}.get(document.text(*path, "unit") or "", "")
    if base is not None and upper is not None and base >= upper:
        what = f"base = {show_number(base)}{unit} is not below upper = {show_number(upper)}{unit}."
        fix = "check both with the source."
        if base == upper:
            fix = "write the two temperatures as published, or remove upper and cutoff."
        yield document.problem("timing-heat", (*path, "base"), what, fix)
    yield from _check_base(document, path, base)
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


def _check_start(document: Document, window: KeyPath) -> Iterator[Problem]:
    """Yield a day from which heat counts that lies after the window which the same profile dates."""
    first, opens = (
        month_day(document.text(*window, *key) or "") for key in (("heat", "start"), ("calendar", "opens"))
    )
    if first is None or opens is None or _FEB_29 in (first, opens):
        return
    days = (dt.date(_YEAR, *opens) - dt.date(_YEAR, *first)).days % _DAYS
    if days > _LONGEST_DAYS:
        what = (
            f'heat counts from "{first[0]:02}-{first[1]:02}", after the window has opened by the calendar of '
            f'this profile ("{opens[0]:02}-{opens[1]:02}"), or ten months before it.'
        )
        fix = "write the day that was published with the sums, or mend the calendar."
        yield document.problem("timing-heat", (*window, "heat", "start"), what, fix)


def _check_base(document: Document, path: KeyPath, base: float | None) -> Iterator[Problem]:
    """Yield a base that no insect or plant has, mostly because its unit is another."""
    unit = document.text(*path, "unit")
    least, most = _BASES.get(unit or "", (base, base))
    if base is None or math.isnan(base) or least is None or most is None or least <= base <= most:
        return
    other = "degf" if unit == "degc" else "degc"
    name = {"degc": "degC", "degf": "degF"}
    what = f"{show_number(base)} {name[unit or '']} is outside what a base can be: "
    what += f"{show_number(least)} to {show_number(most)} {name[unit or '']}."
    fix = f'write it in the unit of this table, or change the unit of all of it: unit = "{other}"'
    yield document.problem("timing-heat", (*path, "base"), what, fix)


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
        yield from check_day(document, (*path, moment))
    if not any(document.text(*path, moment) for moment in MOMENTS):
        what = "this window has no day."
        yield document.problem("timing-calendar", path, what, 'add at least one: opens = "06-10"')
    yield from _check_order(document, path)
    pair = ("at_elevation_m", "days_per_100m")
    given = [key for key in pair if document.get(*path, key) is not None]
    if len(given) == 1:
        absent = next(key for key in pair if key not in given)
        what = f"{given[0]} stands alone; a shift with elevation needs both."
        fix = f"add, with your own number for N: {absent} = N; or remove {given[0]}."
        yield document.problem("timing-calendar", (*path, absent), what, fix)


def _check_order(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield days that do not follow each other, once round the year and no longer."""
    given = [(moment, document.text(*path, moment)) for moment in MOMENTS]
    days = [(moment, day) for moment, text in given if text is not None and (day := month_day(text))]
    days = [(moment, day) for moment, day in days if day != _FEB_29]
    passed = 0
    for (before, first), (after, second) in itertools.pairwise(days):
        passed += (dt.date(_YEAR, *second) - dt.date(_YEAR, *first)).days % _DAYS
        if passed > _LONGEST_DAYS:
            what = (
                f'{after} = "{second[0]:02}-{second[1]:02}" comes before {before} = '
                f'"{first[0]:02}-{first[1]:02}", or ten months after the window begins.'
            )
            fix = f"write the days in the order in which they come, from {days[0][0]} to {days[-1][0]}."
            yield document.problem("timing-calendar", (*path, after), what, fix)
            return
