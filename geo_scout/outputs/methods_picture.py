"""Ranks by method as connected lines in SVG: which places hang on how scores are combined."""

from collections.abc import Sequence
from dataclasses import dataclass

from geo_scout.outputs.svg_marks import (
    MARGIN,
    WIDTH,
    Mark,
    cut_words,
    lay_legend,
    open_picture,
    plain_words,
    svg_text,
)

TOP, HEAD_HEIGHT, ROW_HEIGHT, GAP = 48, 62, 19, 18
_FIRST_COLUMN, _LAST_COLUMN, _RADIUS = 118, 348, 8
_LABEL_LETTERS, _ABOUT_HEADING = 14, 50
# Okabe & Ito 2008, those with contrast on white; every mark carries its rank, so no colour stands alone.
COLOURS = ("#0072B2", "#B26B00", "#007A5A", "#A0447A", "#000000", "#A84300")
DASHES = ("", "6 3", "2 3")


@dataclass(frozen=True)
class MethodColumn:
    """The head of one column.

    Parameters
    ----------
    first, second
        The method in two short lines.
    agreement
        How far its order agrees with the season's.
    """

    first: str
    second: str
    agreement: str


@dataclass(frozen=True)
class SiteRanks:
    """One site.

    Parameters
    ----------
    label
        What it is called.
    ranks
        Its rank by each method, in the order of the columns, the season's own first.
    """

    label: str
    ranks: tuple[int, ...]


@dataclass(frozen=True)
class MethodBlock:
    """One ranking.

    Parameters
    ----------
    heading
        Role and agent.
    columns
        The methods, the season's own first.
    sites
        Sites that any of the methods puts among the first ``places``, in the season's order.
    places
        How many places stand above the line.
    """

    heading: str
    columns: tuple[MethodColumn, ...]
    sites: tuple[SiteRanks, ...]
    places: int

    @property
    def height(self) -> int:
        """Return how high it is drawn."""
        return HEAD_HEIGHT + ROW_HEIGHT * len(self.sites) + GAP


def methods_svg(title: str, blocks: Sequence[MethodBlock]) -> str:
    """Return the picture as SVG text, without date of making, script or outside font.

    Parameters
    ----------
    title
        Title of the season.
    blocks
        One per ranking that ranks a site.
    """
    body, top = [], TOP
    for block in blocks:
        body += _draw_block(block, top)
        top += block.height
    if not blocks:
        body.append(svg_text(MARGIN, TOP + 12, "No site is ranked."))
        top += 30
    marks: list[tuple[int, Mark, str]] = [
        (16, lambda left, middle: _mark(left + 8, middle, 1, COLOURS[0], is_first=True), "among the first"),
        (16, lambda left, middle: _mark(left + 8, middle, 1, COLOURS[0], is_first=False), "further down"),
    ]
    legend, last = lay_legend(marks, top + 4)
    words = [
        "The number is the rank. Below the broken line: sites that only some methods put first.",
        "tau: Kendall's tau b with the season's order; 1 is the same order, 0 none in common.",
    ]
    notes = [svg_text(MARGIN, last + 20 + 14 * at, one, size=9) for at, one in enumerate(words)]
    height = last + 20 + 14 * len(words)
    return "\n".join([*open_picture("Ranks by method", title, height), *body, *legend, *notes, "</svg>\n"])


def _draw_block(block: MethodBlock, top: int) -> list[str]:
    drawn = [svg_text(MARGIN, top + 14, cut_words(block.heading, _ABOUT_HEADING), size=12, weight="bold")]
    for at, column in enumerate(block.columns):
        weight = "bold" if at == 0 else "normal"
        for line, words in enumerate((column.first, column.second, column.agreement)):
            middle = _column_at(at, len(block.columns))
            base = top + 28 + 11 * line
            drawn.append(svg_text(middle, base, words, size=9, weight=weight, anchor="middle"))
    rows = [_rows_of(block, at) for at in range(len(block.columns))]
    first = top + HEAD_HEIGHT
    cut = min(block.places, len(block.sites))
    if cut < len(block.sites):
        drawn.append(
            f'<path d="M{MARGIN} {first + ROW_HEIGHT * cut - ROW_HEIGHT // 2}H{WIDTH - MARGIN}" '
            'stroke="#767676" stroke-width="1" stroke-dasharray="4 3"/>'
        )
    for number, site in enumerate(block.sites):
        drawn += _draw_site(block, number, site, rows, first)
    return drawn


def _rows_of(block: MethodBlock, column: int) -> list[int]:
    """Return the row of each site in a column: by rank, so that nothing lies on top of another."""
    order = sorted(range(len(block.sites)), key=lambda number: block.sites[number].ranks[column])
    row_of = {number: row for row, number in enumerate(order)}
    return [row_of[number] for number in range(len(block.sites))]


def _draw_site(
    block: MethodBlock, number: int, site: SiteRanks, rows: Sequence[Sequence[int]], first: int
) -> list[str]:
    colour = COLOURS[number % len(COLOURS)]
    dash = DASHES[number // len(COLOURS) % len(DASHES)]
    places = [
        (_column_at(at, len(block.columns)), first + ROW_HEIGHT * rows[at][number])
        for at in range(len(block.columns))
    ]
    path = "L".join(f"{left:.1f} {middle}" for left, middle in places)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    told = f"{site.label}: " + ", ".join(
        f"{column.first} {column.second} {rank}"
        for column, rank in zip(block.columns, site.ranks, strict=True)
    )
    return [
        f"<g><title>{plain_words(told)}</title>",
        svg_text(MARGIN, places[0][1] + 4, cut_words(site.label, _LABEL_LETTERS)),
        f'<path d="M{path}" fill="none" stroke="{colour}" stroke-width="1.5"{dashes}/>',
        *(
            _mark(left, middle, rank, colour, is_first=rank <= block.places)
            for (left, middle), rank in zip(places, site.ranks, strict=True)
        ),
        "</g>",
    ]


def _mark(middle: float, height: int, rank: int, colour: str, *, is_first: bool) -> str:
    """Return a disc among the first, a white square further down, with the rank inside."""
    if is_first:
        shape = f'<circle cx="{middle:.1f}" cy="{height}" r="{_RADIUS}" fill="{colour}"/>'
    else:
        shape = (
            f'<rect x="{middle - _RADIUS:.1f}" y="{height - _RADIUS + 1}" width="{2 * _RADIUS}" '
            f'height="{2 * _RADIUS - 2}" fill="#ffffff" stroke="{colour}" stroke-width="1.2"/>'
        )
    ink = "#ffffff" if is_first else "#000000"
    return (
        f'{shape}<text x="{middle:.1f}" y="{height + 3}" text-anchor="middle" font-size="8" '
        f'fill="{ink}">{rank}</text>'
    )


def _column_at(at: int, count: int) -> float:
    return _FIRST_COLUMN + at * (_LAST_COLUMN - _FIRST_COLUMN) / max(1, count - 1)
