"""Releases by district, year and outcome as SVG, with three rates that answer three questions."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from geo_scout.model.outcome_rates import OutcomeRates
from geo_scout.model.presence import STATE_LABELS, STATES
from geo_scout.outputs.svg_marks import MARGIN, WIDTH, Mark, cut_words, lay_legend, open_picture, svg_text

TOP, HEAD_HEIGHT, BAR_HEIGHT, RATE_HEIGHT, GAP = 48, 24, 16, 30, 16
_YEAR_WIDTH, _COUNT_WIDTH, _WIDEST_UNIT = 34, 26, 14.0
_RATE_LEFT, _ABOUT_HEADING = 200, 50
# Okabe & Ito 2008; the hatching says the same as the colour.
FILLS = {
    "confirmed": "#0072B2",
    "likely": "url(#likely)",
    "possible": "url(#possible)",
    "unlikely": "url(#unlikely)",
    "lost": "#000000",
    "too early": "#ffffff",
}
EDGES = {
    "confirmed": "#0072B2",
    "likely": "#0072B2",
    "possible": "#767676",
    "unlikely": "#B26B00",
    "lost": "#000000",
    "too early": "#767676",
}
HATCHES = (
    "<defs>"
    '<pattern id="likely" width="5" height="5" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><rect width="5" height="5" fill="#ffffff"/>'
    '<rect width="2.5" height="5" fill="#0072B2"/></pattern>'
    '<pattern id="possible" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<rect width="4" height="4" fill="#ffffff"/><circle cx="2" cy="2" r="1" fill="#444444"/></pattern>'
    '<pattern id="unlikely" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<rect width="4" height="4" fill="#ffffff"/><rect width="4" height="1.5" fill="#B26B00"/></pattern>'
    "</defs>"
)


@dataclass(frozen=True)
class DistrictBlock:
    """Releases of one agent in one district, or in all.

    Parameters
    ----------
    heading
        Agent and district.
    years
        By year of release: releases by state.
    rates
        What share of them established.
    """

    heading: str
    years: Mapping[int, Mapping[str, int]]
    rates: OutcomeRates

    @property
    def height(self) -> int:
        """Return how high it is drawn."""
        return HEAD_HEIGHT + BAR_HEIGHT * len(self.years) + 6 + RATE_HEIGHT * 3 + GAP


def districts_svg(title: str, blocks: Sequence[DistrictBlock]) -> str:
    """Return the picture as SVG text, without date of making, script or outside font.

    Parameters
    ----------
    title
        Title of the season.
    blocks
        One per agent and district, all districts of an agent together first.
    """
    body, top = [], TOP
    for block in blocks:
        body += _draw_block(block, top)
        top += block.height
    if not blocks:
        body.append(svg_text(MARGIN, TOP + 12, "No release is on record."))
        top += 30
    held = {state for block in blocks for year in block.years.values() for state, n in year.items() if n}
    marks: list[tuple[int, Mark, str]] = [
        (14, _swatch(state), STATE_LABELS[state]) for state in STATES if state in held
    ]
    legend, base = lay_legend(marks, top + 14)
    words = (
        "Lines run from 0 to 100 %, with intervals of 95 %.",
        "Adjusted: for what visits miss. Bounds: all not revisited failed, or",
        "all took. Too early to say is not counted.",
    )
    notes = [svg_text(MARGIN, base + 24 + 15 * line, one) for line, one in enumerate(words)]
    height = base + 24 + 15 * (len(words) - 1) + 14
    drawn = [*open_picture("Releases by district", title, height), HATCHES, *body, *legend, *notes]
    return "\n".join([*drawn, "</svg>\n"])


def _draw_block(block: DistrictBlock, top: int) -> list[str]:
    drawn = [svg_text(MARGIN, top + 16, cut_words(block.heading, _ABOUT_HEADING), size=12, weight="bold")]
    top += HEAD_HEIGHT
    most = max((sum(year.values()) for year in block.years.values()), default=1)
    unit = min(_WIDEST_UNIT, (WIDTH - 2 * MARGIN - _YEAR_WIDTH - _COUNT_WIDTH) / max(most, 1))
    for year, counts in sorted(block.years.items()):
        drawn += _draw_year(year, counts, unit, top)
        top += BAR_HEIGHT
    return drawn + _draw_rates(block.rates, top + 6)


def _draw_year(year: int, counts: Mapping[str, int], unit: float, top: int) -> list[str]:
    drawn = [svg_text(MARGIN, top + 11, f"{year}", colour="#444444")]
    left = float(MARGIN + _YEAR_WIDTH)
    for state in STATES:
        if number := counts.get(state, 0):
            drawn.append(_box(state, left, top + 2, number * unit))
            left += number * unit
    return [*drawn, svg_text(left + 5, top + 11, f"{sum(counts.values())}")]


def _draw_rates(rates: OutcomeRates, top: int) -> list[str]:
    counted = rates.releases - rates.too_early
    found = (rates.found_share, rates.found_low_share, rates.found_high_share)
    adjusted = (rates.adjusted_share, rates.adjusted_low_share, rates.adjusted_high_share)
    bounds = (math.nan, rates.least_share, rates.most_share)
    lines = (
        (f"found: {rates.found} of {rates.revisited} revisited", found),
        ("established, adjusted", adjusted),
        (f"bounds of what was found, of {counted}", bounds),
    )
    drawn = []
    for words, shares in lines:
        drawn.append(svg_text(MARGIN, top + 12, words))
        drawn.append(svg_text(WIDTH - MARGIN, top + 12, _percent(*shares), weight="bold", anchor="end"))
        drawn += _interval(*shares, top + 21)
        top += RATE_HEIGHT
    return drawn


def _percent(best: float, low: float, high: float) -> str:
    if math.isnan(low):
        return "not known"
    span = f"{100 * low:.0f} to {100 * high:.0f} %"
    return span if math.isnan(best) else f"{100 * best:.0f} % ({span})"


def _interval(best: float, low: float, high: float, middle: int) -> list[str]:
    """Return a scale from 0 to 100 % with the range on it, and a diamond at the best value."""
    drawn = [
        f'<path d="M{_RATE_LEFT} {middle}H{WIDTH - MARGIN}M{_RATE_LEFT} {middle - 3}v6'
        f'M{WIDTH - MARGIN} {middle - 3}v6" stroke="#bbbbbb" stroke-width="1" fill="none"/>'
    ]
    if math.isnan(low):
        return drawn
    left, right = _share_at(low), _share_at(high)
    drawn.append(
        f'<path d="M{left:.1f} {middle}H{max(right, left + 1):.1f}" stroke="#0072B2" stroke-width="4"/>'
    )
    if not math.isnan(best):
        drawn.append(
            f'<path d="M{_share_at(best) - 4:.1f} {middle}l4 -4l4 4l-4 4z" fill="#ffffff" stroke="#000000" '
            'stroke-width="1.5"/>'
        )
    return drawn


def _share_at(share: float) -> float:
    return _RATE_LEFT + share * (WIDTH - MARGIN - _RATE_LEFT)


def _swatch(state: str) -> Mark:
    draw: Callable[[float, int], str] = lambda left, middle: _box(state, left, middle - 5, 14)  # noqa: E731
    return draw


def _box(state: str, left: float, top: int, width: float) -> str:
    return (
        f'<rect x="{left:.1f}" y="{top}" width="{width:.1f}" height="11" fill="{FILLS[state]}" '
        f'stroke="{EDGES[state]}" stroke-width="1"/>'
    )
