"""The calendar as SVG: a bar from opening to closing for each source, readable on a phone and in print."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from geo_scout.outputs.svg_marks import (
    MARGIN,
    STOP_COLOUR,
    WIDTH,
    cut_words,
    lay_legend,
    open_picture,
    stop_mark,
    svg_text,
)

ROW_HEIGHT, TOP = 54, 64
QUESTION_HEIGHT = 14
# Okabe & Ito 2008, a scheme that colour-blind people can tell apart; shape says the same as colour.
OPEN_COLOUR, SCOUT_COLOUR, PEAK_COLOUR = "#0072B2", "#B26B00", "#000000"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_ABOUT_CHARACTERS, _ABOUT_BOLD = 60, 52


@dataclass(frozen=True)
class Row:
    """One source of the calendar.

    Parameters
    ----------
    label, agent
        Site and agent.
    scout, opens, peaks, closes
        Dates; None for one that does not come or nobody knows.
    note
        What a reader must know besides.
    opens_early, opens_late
        Opening in one year of ten, and in nine of ten.
    is_ranked
        False for a source that is left out; its bar is hollow.
    question
        The open question about the law, beginning STOP AND ASK; empty where there is none.
    """

    label: str
    agent: str
    scout: dt.date | None
    opens: dt.date | None
    peaks: dt.date | None
    closes: dt.date | None
    note: str = ""
    opens_early: dt.date | None = None
    opens_late: dt.date | None = None
    is_ranked: bool = True
    question: str = ""

    @property
    def height(self) -> int:
        """Return how high it is drawn."""
        return ROW_HEIGHT + (QUESTION_HEIGHT if self.question else 0)

    @property
    def has_reach(self) -> bool:
        """Whether its opening differs from year to year."""
        early, late = self.opens_early, self.opens_late
        return early is not None and late is not None and early < late

    def dates(self) -> list[dt.date]:
        """Return the dates there are."""
        given = (self.scout, self.opens, self.peaks, self.closes, self.opens_early, self.opens_late)
        return [one for one in given if one is not None]


def calendar_svg(title: str, rows: Sequence[Row]) -> str:
    """Return the picture as SVG text, without date, script or outside font.

    Parameters
    ----------
    title
        Title of the season.
    rows
        The sources in the order in which they are drawn.
    """
    axis = _Axis.around([day for row in rows for day in row.dates()])
    bottom = TOP + sum(row.height for row in rows) if rows else TOP + ROW_HEIGHT
    legend, legend_end = _legend(rows, bottom + 22)
    height = legend_end + 16
    body = [*_month_lines(axis, bottom)] if axis else []
    top = TOP
    for row in rows:
        body += _draw_row(row, axis, top)
        top += row.height
    if not rows:
        body.append(svg_text(MARGIN, TOP + 20, "No source is ranked."))
    return "\n".join(
        [
            *open_picture("Calendar of sources", title, height),
            *body,
            *legend,
            "</svg>\n",
        ]
    )


@dataclass(frozen=True)
class _Axis:
    first: dt.date
    last: dt.date

    @classmethod
    def around(cls, days: Sequence[dt.date]) -> "_Axis | None":
        """Return whole months around the days, None where there is no day."""
        if not days:
            return None
        return cls(min(days).replace(day=1), _month_after(max(days)))

    def at(self, day: dt.date) -> float:
        """Return how far right a day lies."""
        share = (day - self.first).days / (self.last - self.first).days
        return MARGIN + share * (WIDTH - 2 * MARGIN)

    def months(self) -> list[dt.date]:
        """Return the first days of the months, that after the last one among them."""
        found = [self.first]
        while found[-1] < self.last:
            found.append(_month_after(found[-1]))
        return found


def _month_after(day: dt.date) -> dt.date:
    return dt.date(day.year + day.month // 12, day.month % 12 + 1, 1)


def _month_lines(axis: _Axis, bottom: int) -> list[str]:
    lines = []
    for number, day in enumerate(axis.months()):
        at = axis.at(day)
        lines.append(f'<path d="M{at:.1f} {TOP - 10}V{bottom}" stroke="#cccccc" stroke-width="1"/>')
        if day == axis.last:
            break
        after = axis.at(_month_after(day))
        # A window can cross New Year, so each year is named once.
        name = _MONTHS[day.month - 1]
        with_year = f"{name} {day.year}" if number == 0 or day.month == 1 else name
        if after - at >= 7 * len(with_year):
            lines.append(svg_text(at + 2, TOP - 12, with_year, colour="#444444"))
        elif after - at >= 18:
            lines.append(svg_text(at + 2, TOP - 12, name, colour="#444444"))
    return lines


def _draw_row(row: Row, axis: _Axis | None, top: int) -> list[str]:
    drawn = [svg_text(MARGIN, top + 12, cut_words(f"{row.label}, {row.agent}", _ABOUT_BOLD), weight="bold")]
    if row.question:
        top += QUESTION_HEIGHT
        drawn.append(stop_mark(MARGIN, top + 8))
        drawn.append(
            svg_text(
                MARGIN + 15, top + 12, cut_words(row.question, _ABOUT_CHARACTERS - 3), colour=STOP_COLOUR
            )
        )
    drawn.append(svg_text(MARGIN, top + 25, cut_words(_said(row), _ABOUT_CHARACTERS), colour="#333333"))
    if axis is None:
        return drawn
    middle = top + 39
    if row.scout is not None:
        at = axis.at(row.scout)
        drawn.append(_diamond(at - 5, middle))
    if row.opens is not None:
        drawn += _bar(row, row.opens, axis, middle)
    if row.opens_early is not None and row.opens_late is not None and row.has_reach:
        early, late = axis.at(row.opens_early), axis.at(row.opens_late)
        drawn.append(_reach(early, late, middle + 9))
    if row.peaks is not None:
        at = axis.at(row.peaks)
        drawn.append(
            f'<path d="M{at:.1f} {middle - 8}V{middle + 8}" stroke="{PEAK_COLOUR}" stroke-width="3"/>'
        )
    return drawn


def _bar(row: Row, opens: dt.date, axis: _Axis, middle: int) -> list[str]:
    end = row.closes or row.peaks or opens
    start, width = axis.at(opens), max(axis.at(end) - axis.at(opens), 3.0)
    fill = OPEN_COLOUR if row.is_ranked else "#ffffff"
    drawn = [
        f'<rect x="{start:.1f}" y="{middle - 5}" width="{width:.1f}" height="10" fill="{fill}" '
        f'stroke="{OPEN_COLOUR}" stroke-width="1.5"/>'
    ]
    if row.closes is None:
        drawn.append(_arrow(start + width, middle))
    return drawn


def _said(row: Row) -> str:
    named = (("scout", row.scout), ("opens", row.opens), ("peak", row.peaks), ("closes", row.closes))
    shown = named if row.is_ranked else (named[1], named[3])
    dates = ", ".join(f"{word} {day.day} {_MONTHS[day.month - 1]}" for word, day in shown if day is not None)
    # Why a source is left out must not be what is cut off.
    parts = (dates, row.note) if row.is_ranked else (row.note, dates)
    return "; ".join(part for part in parts if part)


def _legend(rows: Sequence[Row], top: int) -> tuple[list[str], int]:
    """Return what the marks that occur mean, in as many lines as they need, and where the last line lies."""
    opening = [row for row in rows if row.opens is not None]
    marks = [
        (any(row.question for row in rows), 12, stop_mark, "ask the authority before anything moves"),
        (any(row.scout is not None for row in rows), 12, _diamond, "start scouting"),
        (any(row.is_ranked for row in opening), 20, _open_bar, "open"),
        (not all(row.is_ranked for row in opening), 20, _hollow_bar, "open, but left out of the plan"),
        (any(row.peaks is not None for row in rows), 8, _peak, "peak"),
        (any(row.closes is None for row in opening), 8, _arrow, "closing unknown"),
        (any(row.has_reach for row in rows), 20, _reach_mark, "opens then in 8 years of 10"),
    ]
    drawn, base = lay_legend([(width, mark, words) for occurs, width, mark, words in marks if occurs], top)
    last = base + 24
    words = "Estimates. Look before you send a crew; follow your permits."
    return [*drawn, svg_text(MARGIN, last, words)], last


def _open_bar(left: float, middle: int) -> str:
    return f'<rect x="{left:.1f}" y="{middle - 5}" width="20" height="10" fill="{OPEN_COLOUR}"/>'


def _hollow_bar(left: float, middle: int) -> str:
    return (
        f'<rect x="{left:.1f}" y="{middle - 5}" width="20" height="10" fill="#ffffff" '
        f'stroke="{OPEN_COLOUR}" stroke-width="1.5"/>'
    )


def _peak(left: float, middle: int) -> str:
    return f'<path d="M{left + 4:.1f} {middle - 7}v14" stroke="{PEAK_COLOUR}" stroke-width="3"/>'


def _arrow(left: float, middle: int) -> str:
    return f'<path d="M{left:.1f} {middle - 5}l7 5l-7 5z" fill="{OPEN_COLOUR}"/>'


def _reach_mark(left: float, middle: int) -> str:
    return _reach(left, left + 20, middle)


def _diamond(left: float, middle: int) -> str:
    return (
        f'<path d="M{left:.1f} {middle}l5 -5l5 5l-5 5z" fill="#ffffff" stroke="{SCOUT_COLOUR}" '
        'stroke-width="2"/>'
    )


def _reach(left: float, right: float, middle: int) -> str:
    """Return a line with ends, from early to late."""
    return (
        f'<path d="M{left:.1f} {middle - 3}v6m0 -3H{right:.1f}m0 -3v6" stroke="#444444" stroke-width="1.5" '
        'fill="none"/>'
    )
