"""Timelines of releases as SVG: what was put out, what was seen since, and what is thought of it now."""

import datetime as dt
import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from geo_scout.outputs.svg_marks import (
    MARGIN,
    STOP_COLOUR,
    WIDTH,
    Mark,
    cut_words,
    lay_legend,
    open_picture,
    stop_mark,
    svg_text,
)

Seen = Literal["found", "not found", "says nothing", "lost"]

ROW_HEIGHT, HEAD_HEIGHT, QUESTION_HEIGHT, AXIS_HEIGHT, TOP = 38, 24, 15, 16, 48
# Okabe & Ito 2008; every mark has a shape of its own.
RELEASE_COLOUR, FOUND_COLOUR, NOT_FOUND_COLOUR, SILENT_COLOUR = "#000000", "#0072B2", "#B26B00", "#767676"
LOST_COLOUR, AXIS_COLOUR = "#000000", "#cccccc"
_ABOUT_HEADING, _ABOUT_QUESTION, _LEAST_YEAR_PIXELS, _LEAST_LABEL = 50, 57, 34, 8
_ABOUT_LETTER, _ABOUT_BOLD_LETTER, _ABOUT_GAP = 5.8, 6.0, 6


@dataclass(frozen=True)
class Sight:
    """One mark on a timeline.

    Parameters
    ----------
    day
        When.
    seen
        What a visit saw, or that the ground was lost.
    is_own
        False for a visit to another release on the same ground; it is drawn smaller.
    """

    day: dt.date
    seen: Seen
    is_own: bool = True


@dataclass(frozen=True)
class Timeline:
    """One release.

    Parameters
    ----------
    label
        Its id and place.
    released
        Its day.
    verdict
        State and chance, in words.
    sights
        What happened since.
    """

    label: str
    released: dt.date
    verdict: str
    sights: tuple[Sight, ...] = ()


@dataclass(frozen=True)
class TimelineGroup:
    """Releases of one agent in one district.

    Parameters
    ----------
    heading
        Agent and district.
    questions
        Open questions about the law, each beginning STOP AND ASK.
    timelines
        Its releases in the order in which they are drawn.
    """

    heading: str
    timelines: tuple[Timeline, ...]
    questions: tuple[str, ...] = ()

    @property
    def height(self) -> int:
        """Return how high it is drawn."""
        lines = sum(len(_lines(question)) for question in self.questions)
        heads = HEAD_HEIGHT + QUESTION_HEIGHT * lines + AXIS_HEIGHT
        return heads + ROW_HEIGHT * len(self.timelines)


def timelines_svg(title: str, groups: Sequence[TimelineGroup], as_of: dt.date, note: str = "") -> str:
    """Return the picture as SVG text, without date of making, script or outside font.

    Parameters
    ----------
    title
        Title of the season.
    groups
        Releases by agent and district.
    as_of
        Last day of every timeline.
    note
        What a reader must know of what is not drawn.
    """
    first = min((one.released.year for group in groups for one in group.timelines), default=as_of.year)
    axis = _Axis(dt.date(first, 1, 1), as_of)
    body, top = [], TOP
    for group in groups:
        body += _draw_group(group, axis, top)
        top += group.height
    if not groups:
        body.append(svg_text(MARGIN, TOP + 12, "No release is on record."))
        top += ROW_HEIGHT
    legend, base = lay_legend(_marks(groups), top + 22)
    ends = [f"Chances for {as_of.isoformat()}, estimated. Not found is not gone.", note]
    notes = [svg_text(MARGIN, base + 24 + 15 * line, one) for line, one in enumerate(ends) if one]
    height = base + 24 + 15 * (len(notes) - 1) + 14
    drawn = [*open_picture("Timelines of releases", title, height), *body, *legend, *notes, "</svg>\n"]
    return "\n".join(drawn)


@dataclass(frozen=True)
class _Axis:
    first: dt.date
    last: dt.date

    def at(self, day: dt.date) -> float:
        """Return how far right a day lies."""
        share = (day - self.first).days / max((self.last - self.first).days, 1)
        return MARGIN + 6 + min(max(share, 0.0), 1.0) * (WIDTH - 2 * MARGIN - 12)

    def years(self) -> range:
        """Return the years it shows."""
        return range(self.first.year, self.last.year + 1)


def _draw_group(group: TimelineGroup, axis: _Axis, top: int) -> list[str]:
    drawn = [
        svg_text(MARGIN, top + 16, cut_words(group.heading, _ABOUT_HEADING), size=12, weight="bold"),
    ]
    top += HEAD_HEIGHT
    for question in group.questions:
        drawn.append(stop_mark(MARGIN, top + 4))
        for line in _lines(question):
            drawn.append(svg_text(MARGIN + 15, top + 8, line, colour=STOP_COLOUR))
            top += QUESTION_HEIGHT
    drawn += _year_lines(axis, top, top + AXIS_HEIGHT + ROW_HEIGHT * len(group.timelines))
    top += AXIS_HEIGHT
    for timeline in group.timelines:
        drawn += _draw_timeline(timeline, axis, top)
        top += ROW_HEIGHT
    return drawn


def _lines(question: str) -> list[str]:
    return textwrap.wrap(question, _ABOUT_QUESTION) or [""]


def _year_lines(axis: _Axis, top: int, bottom: int) -> list[str]:
    lines, named_to = [], float("-inf")
    for year in axis.years():
        at = axis.at(dt.date(year, 1, 1))
        lines.append(f'<path d="M{at:.1f} {top + 4}V{bottom - 4}" stroke="{AXIS_COLOUR}" stroke-width="1"/>')
        if at - named_to >= _LEAST_YEAR_PIXELS and at < WIDTH - MARGIN - 24:
            lines.append(svg_text(at + 2, top + 12, f"{year}", size=9, colour="#444444"))
            named_to = at
    return lines


def _draw_timeline(timeline: Timeline, axis: _Axis, top: int) -> list[str]:
    middle = top + 24
    start, end = axis.at(timeline.released), axis.at(axis.last)
    lost = [axis.at(sight.day) for sight in timeline.sights if sight.seen == "lost"]
    alive_to = lost[0] if lost else end
    drawn = [
        svg_text(MARGIN, top + 11, cut_words(timeline.label, _room_beside(timeline.verdict))),
        svg_text(WIDTH - MARGIN, top + 11, timeline.verdict, weight="bold", anchor="end"),
        f'<path d="M{start:.1f} {middle}H{alive_to:.1f}" stroke="#444444" stroke-width="1.5"/>',
    ]
    if lost:
        drawn.append(
            f'<path d="M{alive_to:.1f} {middle}H{end:.1f}" stroke="#444444" stroke-width="1" '
            'stroke-dasharray="2 3"/>'
        )
    drawn.append(_release(start - 5, middle))
    for sight in sorted(timeline.sights, key=lambda one: (one.is_own, one.day)):
        drawn.append(_SEEN[sight.seen][0](axis.at(sight.day) - 5, middle, 1.0 if sight.is_own else 0.6))
    return drawn


def _room_beside(verdict: str) -> int:
    """Return how many letters of a label have room to the left of the verdict."""
    left = WIDTH - 2 * MARGIN - _ABOUT_GAP - _ABOUT_BOLD_LETTER * len(verdict)
    return max(_LEAST_LABEL, int(left / _ABOUT_LETTER))


def _marks(groups: Sequence[TimelineGroup]) -> list[tuple[int, Mark, str]]:
    """Return what the marks that occur mean."""
    sights = [sight for group in groups for one in group.timelines for sight in one.sights]
    seen = {sight.seen for sight in sights}
    marks: list[tuple[int, Mark, str]] = []
    if any(group.questions for group in groups):
        marks.append((12, stop_mark, "ask the authority before anything moves"))
    if groups:
        marks.append((10, _release, "release"))
    marks += [(10, _whole(draw), words) for name, (draw, words) in _SEEN.items() if name in seen]
    if not all(sight.is_own for sight in sights):
        marks.append((10, _small, "smaller: visit to another release there"))
    return marks


def _release(left: float, middle: int) -> str:
    return f'<path d="M{left:.1f} {middle - 5}h10l-5 9z" fill="{RELEASE_COLOUR}"/>'


def _found(left: float, middle: int, scale: float) -> str:
    return f'<circle cx="{left + 5:.1f}" cy="{middle}" r="{5 * scale:.1f}" fill="{FOUND_COLOUR}"/>'


def _not_found(left: float, middle: int, scale: float) -> str:
    reach = 4.2 * scale
    return (
        f'<circle cx="{left + 5:.1f}" cy="{middle}" r="{reach:.1f}" fill="#ffffff" '
        f'stroke="{NOT_FOUND_COLOUR}" stroke-width="2"/>'
    )


def _silent(left: float, middle: int, scale: float) -> str:
    reach = 4 * scale
    return (
        f'<path d="M{left + 5:.1f} {middle - reach:.1f}V{middle + reach:.1f}" stroke="{SILENT_COLOUR}" '
        'stroke-width="2"/>'
    )


def _lost(left: float, middle: int, scale: float) -> str:
    reach = 4.5 * scale
    across = f"l{2 * reach:.1f} {2 * reach:.1f}"
    back = f"m0 {-2 * reach:.1f}l{-2 * reach:.1f} {2 * reach:.1f}"
    return (
        f'<path d="M{left + 5 - reach:.1f} {middle - reach:.1f}{across}{back}" stroke="{LOST_COLOUR}" '
        'stroke-width="2.5" fill="none"/>'
    )


def _small(left: float, middle: int) -> str:
    return _found(left, middle, 0.6)


def _whole(draw: Callable[[float, int, float], str]) -> Mark:
    return lambda left, middle: draw(left, middle, 1.0)


_SEEN: dict[Seen, tuple[Callable[[float, int, float], str], str]] = {
    "found": (_found, "found"),
    "not found": (_not_found, "not found"),
    "says nothing": (_silent, "visit that says nothing"),
    "lost": (_lost, "destroyed"),
}
