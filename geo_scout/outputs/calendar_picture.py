"""The calendar as SVG: a bar from opening to closing for each source, readable on a phone and in print."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

WIDTH, MARGIN, ROW_HEIGHT, TOP = 380, 12, 46, 58
# Okabe & Ito 2008, a scheme that colour-blind people can tell apart; shape says the same as colour.
OPEN_COLOUR, SCOUT_COLOUR, PEAK_COLOUR = "#0072B2", "#E69F00", "#000000"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_ABOUT_CHARACTERS = 58


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
    """

    label: str
    agent: str
    scout: dt.date | None
    opens: dt.date | None
    peaks: dt.date | None
    closes: dt.date | None
    note: str = ""

    def dates(self) -> list[dt.date]:
        """Return the dates there are."""
        return [one for one in (self.scout, self.opens, self.peaks, self.closes) if one is not None]


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
    height = TOP + max(len(rows), 1) * ROW_HEIGHT + 52
    body = [*_month_lines(axis, height)] if axis else []
    for number, row in enumerate(rows):
        body += _draw_row(row, axis, TOP + number * ROW_HEIGHT)
    if not rows:
        body.append(_text(MARGIN, TOP + 20, "No source is ranked."))
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
            f'font-family="sans-serif" font-size="11" style="max-width:760px;width:100%">',
            f"<title>{_plain('Calendar of sources: ' + title)}</title>",
            f'<rect width="{WIDTH}" height="{height}" fill="#ffffff"/>',
            _text(MARGIN, 20, "Calendar of sources", size=15, weight="bold"),
            _text(MARGIN, 36, _cut(title)),
            *body,
            *_legend(height - 34),
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
        first, last = min(days).replace(day=1), max(days)
        after = dt.date(last.year + last.month // 12, last.month % 12 + 1, 1)
        return cls(first, after)

    def at(self, day: dt.date) -> float:
        """Return how far right a day lies."""
        share = (day - self.first).days / max((self.last - self.first).days, 1)
        return MARGIN + share * (WIDTH - 2 * MARGIN)


def _month_lines(axis: _Axis, height: int) -> list[str]:
    lines, day = [], axis.first
    while day < axis.last:
        at = axis.at(day)
        lines.append(f'<path d="M{at:.1f} {TOP - 8}V{height - 50}" stroke="#cccccc" stroke-width="1"/>')
        lines.append(_text(at + 2, TOP - 10, _MONTHS[day.month - 1], colour="#444444"))
        day = dt.date(day.year + day.month // 12, day.month % 12 + 1, 1)
    return lines


def _draw_row(row: Row, axis: _Axis | None, top: int) -> list[str]:
    drawn = [_text(MARGIN, top + 12, _cut(f"{row.label}, {row.agent}"), weight="bold")]
    drawn.append(_text(MARGIN, top + 25, _cut(_said(row)), colour="#333333"))
    if axis is None:
        return drawn
    middle = top + 34
    if row.scout is not None:
        at = axis.at(row.scout)
        drawn.append(
            f'<path d="M{at:.1f} {middle - 5}l5 5l-5 5l-5 -5z" fill="#ffffff" stroke="{SCOUT_COLOUR}" '
            'stroke-width="2"/>'
        )
    if row.opens is not None:
        end = row.closes or row.peaks or row.opens
        start, width = axis.at(row.opens), max(axis.at(end) - axis.at(row.opens), 2.0)
        drawn.append(
            f'<rect x="{start:.1f}" y="{middle - 5}" width="{width:.1f}" height="10" fill="{OPEN_COLOUR}"/>'
        )
        if row.closes is None:
            # An open end: nobody knows when it closes.
            tip = start + width
            drawn.append(f'<path d="M{tip:.1f} {middle - 5}l7 5l-7 5z" fill="{OPEN_COLOUR}"/>')
    if row.peaks is not None:
        at = axis.at(row.peaks)
        drawn.append(
            f'<path d="M{at:.1f} {middle - 8}V{middle + 8}" stroke="{PEAK_COLOUR}" stroke-width="3"/>'
        )
    return drawn


def _said(row: Row) -> str:
    named = (("scout", row.scout), ("opens", row.opens), ("peak", row.peaks), ("closes", row.closes))
    dates = ", ".join(f"{word} {day.day} {_MONTHS[day.month - 1]}" for word, day in named if day is not None)
    return "; ".join(part for part in (dates, row.note) if part)


def _legend(top: int) -> list[str]:
    left = float(MARGIN)
    return [
        f'<path d="M{left + 5} {top}l5 5l-5 5l-5 -5z" fill="#ffffff" stroke="{SCOUT_COLOUR}" '
        'stroke-width="2"/>',
        _text(left + 14, top + 9, "start scouting"),
        f'<rect x="{left + 100}" y="{top}" width="22" height="10" fill="{OPEN_COLOUR}"/>',
        _text(left + 128, top + 9, "open to closing"),
        f'<path d="M{left + 222} {top - 2}v14" stroke="{PEAK_COLOUR}" stroke-width="3"/>',
        _text(left + 230, top + 9, "peak"),
        f'<path d="M{left + 268} {top}l7 5l-7 5z" fill="{OPEN_COLOUR}"/>',
        _text(left + 280, top + 9, "closing unknown"),
        _text(left, top + 26, "Estimates. Look before you send a crew; follow your permits."),
    ]


def _text(
    left: float, base: float, words: str, *, size: int = 11, weight: str = "normal", colour: str = "#000000"
) -> str:
    return (
        f'<text x="{left:.1f}" y="{base:.1f}" font-size="{size}" font-weight="{weight}" '
        f'fill="{colour}">{_plain(words)}</text>'
    )


def _cut(words: str) -> str:
    return words if len(words) <= _ABOUT_CHARACTERS else f"{words[: _ABOUT_CHARACTERS - 1]}…"


def _plain(words: str) -> str:
    """Return text for XML, without the control characters it forbids."""
    return escape("".join(letter if letter.isprintable() else " " for letter in words))
