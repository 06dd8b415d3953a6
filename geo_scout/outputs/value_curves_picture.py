"""Value curves as SVG: measure across, value from 0 to 1 up, a mark for each site."""

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.value_curves import curve_value
from geo_scout.model.criteria import Curve
from geo_scout.outputs.svg_marks import MARGIN, WIDTH, Mark, cut_words, lay_legend, open_picture, svg_text

TOP, HEAD_HEIGHT, PANEL_HEIGHT, PLOT_HEIGHT, GAP = 48, 38, 118, 56, 8
_LEFT, _RIGHT, _ABOUT_TITLE, _ABOUT_HEADING, _ABOUT_WORDS = 34, WIDTH - MARGIN - 6, 66, 52, 76
_BESIDE = 0.25  # share of the width of a curve that its axis always shows beside it
_MOST_BESIDE = 1.0  # and how far at most it goes to reach the sites
_LEAST_WIDTH = 1e-6  # in the unit, and as a share of the limits: below it digits run out
_ABOUT_TICKS = 5
# Okabe & Ito 2008; a disc and a cross say the same as the colour.
RANKED_COLOUR, LEFT_OUT_COLOUR, CURVE_COLOUR = "#0072B2", "#B26B00", "#000000"


@dataclass(frozen=True)
class CurvePanel:
    """One criterion.

    Parameters
    ----------
    label, unit
        What is measured, and in what.
    weight
        Its weight [share].
    curve
        Its value curve.
    ranked, left_out
        Measures of the sites that have one [unit of the criterion].
    missing
        What is said of sites without a measure; "" where there is none.
    """

    label: str
    unit: str
    weight: float
    curve: Curve
    ranked: tuple[float, ...]
    left_out: tuple[float, ...]
    missing: str = ""


@dataclass(frozen=True)
class CurveBlock:
    """The criteria of one ranking.

    Parameters
    ----------
    heading
        Role and agent.
    counts
        How many sites are ranked and left out.
    panels
        Its curves.
    """

    heading: str
    counts: str
    panels: tuple[CurvePanel, ...]

    @property
    def height(self) -> int:
        """Return how high it is drawn."""
        return HEAD_HEIGHT + PANEL_HEIGHT * len(self.panels) + GAP


@dataclass(frozen=True)
class _Axis:
    """From a measure to its place across."""

    first: float
    last: float

    def at(self, measure: float) -> float:
        share = (min(max(measure, self.first), self.last) - self.first) / (self.last - self.first)
        return _LEFT + share * (_RIGHT - _LEFT)

    def beyond(self, measures: Sequence[float]) -> int:
        return sum(not self.first <= one <= self.last for one in measures)


def value_curves_svg(title: str, blocks: Sequence[CurveBlock]) -> str:
    """Return the picture as SVG text, without date of making, script or outside font.

    Parameters
    ----------
    title
        Title of the season.
    blocks
        One per ranking.
    """
    body, top = [], TOP
    for block in blocks:
        words = cut_words(block.heading, _ABOUT_HEADING)
        body.append(svg_text(MARGIN, top + 14, words, size=12, weight="bold"))
        body.append(svg_text(MARGIN, top + 28, block.counts))
        for number, panel in enumerate(block.panels):
            body += _draw_panel(panel, top + HEAD_HEIGHT + PANEL_HEIGHT * number)
        top += block.height
    marks: list[tuple[int, Mark, str]] = [
        (8, lambda left, middle: _ranked(left + 4, middle), "ranked site"),
        (8, lambda left, middle: _left_out(left + 4, middle), "site left out"),
        (14, lambda left, middle: f'<path d="M{left:.1f} {middle}h14" {_LINE}/>', "value curve"),
    ]
    legend, last = lay_legend(marks, top + 4)
    return "\n".join([*open_picture("Value curves", title, last + 16), *body, *legend, "</svg>\n"])


def _draw_panel(panel: CurvePanel, top: int) -> list[str]:
    axis = _axis_of(panel)
    floor = top + 20 + PLOT_HEIGHT
    unit = f" [{panel.unit}]" if panel.unit else ""
    heading = f"{cut_words(panel.label, _ABOUT_TITLE - len(unit) - 14)}{unit}, weight {panel.weight:.3f}"
    drawn = [
        svg_text(MARGIN, top + 10, heading, weight="bold"),
        svg_text(_LEFT - 4, floor - PLOT_HEIGHT + 4, "1", size=9, anchor="end"),
        svg_text(_LEFT - 4, floor + 3, "0", size=9, anchor="end"),
        f'<path d="M{_LEFT} {floor - PLOT_HEIGHT}V{floor}H{_RIGHT}" stroke="#767676" fill="none"/>',
    ]
    ticks = _ticks(axis)
    for tick in ticks:
        at = axis.at(tick)
        drawn.append(f'<path d="M{at:.1f} {floor}v4" stroke="#767676"/>')
        drawn.append(svg_text(at, floor + 13, f"{tick:g}", size=9, anchor="middle"))
    drawn.append(f'<path d="M{_path(panel.curve, axis, floor)}" {_LINE}/>')
    drawn += _marks(panel, axis, floor)
    lines = textwrap.wrap(_words(panel, axis), _ABOUT_WORDS)
    drawn += [svg_text(MARGIN, floor + 25 + 11 * at, line, size=9) for at, line in enumerate(lines)]
    return drawn


_LINE = f'fill="none" stroke="{CURVE_COLOUR}" stroke-width="1.5"'


def _words(panel: CurvePanel, axis: _Axis) -> str:
    """Return what marks cannot show."""
    told = [panel.missing] if panel.missing else []
    beyond = axis.beyond(panel.ranked) + axis.beyond(panel.left_out)
    if beyond:
        told.append(f"{beyond} beyond the axis, drawn at its end")
    return "; ".join(told)


def _axis_of(panel: CurvePanel) -> _Axis:
    """Return an axis around the curve that reaches the sites, but no further than a curve's width beyond."""
    places = panel.curve.places
    first, last = min(places), max(places)
    scale = max(abs(first), abs(last))
    width = max(last - first, _LEAST_WIDTH * scale, _LEAST_WIDTH) if last > first else scale or 1.0
    if not math.isfinite(4 * width):
        return _Axis(-1.0, 1.0)  # Limits that no measure comes near leave nothing to draw.
    measures = [*panel.ranked, *panel.left_out]
    lowest, highest = min(measures, default=first), max(measures, default=last)
    beside, most = _BESIDE * width, _MOST_BESIDE * width
    least = min(first - beside, max(lowest, first - most))
    if first >= 0 and lowest >= 0:
        least = max(least, 0.0)
    return _Axis(least, max(last + beside, min(highest, last + most)))


def _ticks(axis: _Axis) -> list[float]:
    """Return round numbers along an axis."""
    rough = (axis.last - axis.first) / _ABOUT_TICKS
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(one * power for one in (1, 2, 5, 10) if one * power >= rough * (1 - 1e-9))
    first = math.ceil(axis.first / step - 1e-9)
    last = math.floor(axis.last / step + 1e-9)
    return [round(number * step, 12) + 0.0 for number in range(first, last + 1)]


def _path(curve: Curve, axis: _Axis, floor: int) -> str:
    """Return the curve as a path: corners at its limits, a smooth S in short pieces, upright steps."""
    corners = [place for place in curve.places if axis.first < place < axis.last]
    if curve.shape == "s_shaped":
        corners += np.linspace(min(curve.places), max(curve.places), 33).tolist()
    measures = np.array(sorted({axis.first, *corners, axis.last}))
    # A step has the value of its own side just before a limit.
    before = _values(curve, np.nextafter(measures, -np.inf))
    values = _values(curve, measures)
    points = []
    for measure, left, own in zip(measures.tolist(), before.tolist(), values.tolist(), strict=True):
        at = axis.at(measure)
        heights = [own] if abs(left - own) < 1e-6 or measure == axis.first else [left, own]
        points += [f"{at:.1f} {floor - PLOT_HEIGHT * height:.1f}" for height in heights]
    return "L".join(points)


def _values(curve: Curve, measures: NDArray[np.float64]) -> NDArray[np.float64]:
    return curve_value(curve.shape, curve.places, measures, curve.levels)


def _marks(panel: CurvePanel, axis: _Axis, floor: int) -> list[str]:
    """Return the marks, those left out below, sites on one spot drawn once."""
    drawn: dict[str, None] = {}
    for measures, draw in ((panel.left_out, _left_out), (panel.ranked, _ranked)):
        values = _values(panel.curve, np.array(measures, dtype=np.float64))
        for measure, value in sorted(zip(measures, values.tolist(), strict=True)):
            spot = round(2 * axis.at(measure)) / 2, round(2 * (floor - PLOT_HEIGHT * value)) / 2
            drawn[draw(*spot)] = None
    return list(drawn)


def _ranked(across: float, down: float) -> str:
    return f'<circle cx="{across:.1f}" cy="{down:.1f}" r="2.6" fill="{RANKED_COLOUR}"/>'


def _left_out(across: float, down: float) -> str:
    return (
        f'<path d="M{across - 2.5:.1f} {down - 2.5:.1f}l5 5m0 -5l-5 5" stroke="{LEFT_OUT_COLOUR}" '
        'stroke-width="1.3"/>'
    )
