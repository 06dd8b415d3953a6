"""Words and marks that every picture draws in the same way."""

from collections.abc import Callable, Sequence
from xml.sax.saxutils import escape

WIDTH, MARGIN = 380, 12
STOP_COLOUR = "#A80000"
_LEGEND_LINE, _ABOUT_LETTER = 16, 5.6

Mark = Callable[[float, int], str]


def open_picture(heading: str, title: str, height: int) -> list[str]:
    """Return the first lines of a picture: as wide as a phone, with its heading and the season's title.

    Parameters
    ----------
    heading, title
        What it shows, and of which season.
    height
        How high it is; all are `WIDTH` wide.
    """
    return [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
        f'font-family="sans-serif" font-size="11" style="max-width:760px;width:100%;height:auto">',
        f"<title>{plain_words(f'{heading}: {title}')}</title>",
        f'<rect width="{WIDTH}" height="{height}" fill="#ffffff"/>',
        svg_text(MARGIN, 20, heading, size=15, weight="bold"),
        svg_text(MARGIN, 36, cut_words(title, 60)),
    ]


def lay_legend(marks: Sequence[tuple[int, Mark, str]], top: int) -> tuple[list[str], int]:
    """Return what marks mean, in as many lines as they need, and where the last line lies.

    Parameters
    ----------
    marks
        Width, mark and words of each.
    top
        Middle of the first line.
    """
    drawn, left, base = ['<g class="legend">'], float(MARGIN), top
    for width, mark, words in marks:
        length = width + 5 + _ABOUT_LETTER * len(words)
        if left > MARGIN and left + length > WIDTH - MARGIN:
            left, base = float(MARGIN), base + _LEGEND_LINE
        drawn += [mark(left, base), svg_text(left + width + 5, base + 4, words)]
        left += length + 14
    return [*drawn, "</g>"], base


def svg_text(
    left: float,
    base: float,
    words: str,
    *,
    size: int = 11,
    weight: str = "normal",
    colour: str = "#000000",
    anchor: str = "start",
) -> str:
    """Return one line of text, fit for XML.

    Parameters
    ----------
    left, base
        Where it starts, or ends with the anchor "end", and the line its letters stand on.
    words
        What it says.
    size, weight, colour, anchor
        How it is set.
    """
    at_end = "" if anchor == "start" else f'text-anchor="{anchor}" '
    return (
        f'<text x="{left:.1f}" y="{base:.1f}" {at_end}font-size="{size}" font-weight="{weight}" '
        # White around the letters, so that no line of the months runs through them.
        f'fill="{colour}" stroke="#ffffff" stroke-width="3" paint-order="stroke">{plain_words(words)}</text>'
    )


def stop_mark(left: float, middle: int) -> str:
    """Return an octagon with a bar, a shape that nothing else in a picture has."""
    return (
        f'<path d="M{left + 3.5:.1f} {middle - 6}h5l3.5 3.5v5l-3.5 3.5h-5l-3.5 -3.5v-5z" '
        f'fill="{STOP_COLOUR}"/><path d="M{left + 2.5:.1f} {middle}h7" stroke="#ffffff" stroke-width="2"/>'
    )


def cut_words(words: str, characters: int) -> str:
    """Return text that is no longer than so many characters, its loss marked by three dots.

    >>> cut_words("a long name", 7)
    'a long…'
    """
    return words if len(words) <= characters else f"{words[: characters - 1]}…"


def plain_words(words: str) -> str:
    """Return text for XML, without the control characters it forbids.

    >>> plain_words("a < b" + chr(0))
    'a &lt; b '
    """
    return escape("".join(letter if letter.isprintable() else " " for letter in words))
