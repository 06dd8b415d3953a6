"""Columns of a plain table that say where each row is."""

from collections.abc import Iterable

import numpy as np

from geo_scout.layers.inspect.cell_tests import examples, range_words
from geo_scout.layers.inspect.names import likeness
from geo_scout.layers.inspect.synonyms import POSITION_PHRASES
from geo_scout.layers.places.angles import Axis, read_angles
from geo_scout.model.draft import ColumnGuess, FoundColumn

_LEAST_LIKE, _LEAST_READ = 0.6, 0.9
_NAMED_LIKE, _EXCHANGED_SCORE = 0.9, 0.6
_AXES: dict[str, tuple[Axis, float, float]] = {
    "longitude_deg": ("longitude", -180.0, 360.0),
    "latitude_deg": ("latitude", -90.0, 90.0),
}
# No grid of metres or feet has an origin in the middle of a season.
_LEAST_GRID = 1_000.0


def guess_position(ours: str, column: FoundColumn) -> ColumnGuess | None:
    """Return the guess that a column holds a part of the position; None where it cannot.

    A column called X holds degrees where its numbers can be degrees with decimals, and metres otherwise.
    """
    like, phrase = likeness(column.name, (ours.replace("_", " "), *POSITION_PHRASES[ours]))
    if like < _LEAST_LIKE or not column.filled:
        return None
    words = _degrees(ours, column) if ours in _AXES else _other(ours, column)
    if not words:
        return None
    return ColumnGuess(ours, column.name, round(like, 2), f"the name means '{phrase}'; {words}")


def guess_exchanged(columns: Iterable[FoundColumn]) -> tuple[ColumnGuess, ...]:
    """Return longitude and latitude where the columns of these names can only be the other one each.

    Both guesses are for the columns as their cells say; empty where the names are right or nothing can tell.
    """
    named = {ours: [one for one in columns if is_named(ours, one)] for ours in _AXES}
    for east in named["longitude_deg"]:
        for north in named["latitude_deg"]:
            if (
                not _degrees("latitude_deg", north)
                and _degrees("longitude_deg", north)
                and _degrees("latitude_deg", east)
            ):
                words = f"'{north.name}' means a latitude, but its cells, {examples(north, 1)}, are none"
                return (
                    ColumnGuess("longitude_deg", north.name, _EXCHANGED_SCORE, words),
                    ColumnGuess("latitude_deg", east.name, _EXCHANGED_SCORE, "the two look exchanged"),
                )
    return ()


def is_named(ours: str, column: FoundColumn) -> bool:
    """Return whether a column's name plainly means a part of the position, whatever its cells hold."""
    phrases = (ours.replace("_", " "), *POSITION_PHRASES[ours])
    return likeness(column.name, phrases)[0] >= _NAMED_LIKE


def unread_words(ours: str, column: FoundColumn) -> str:
    """Return why the cells of a column cannot be degrees, with one of them quoted; empty where they can."""
    axis, least, most = _AXES[ours]
    texts = list(column.counts)
    degrees, problems = read_angles(np.array(texts, dtype=object), axis)
    for text, degree, problem in zip(texts, degrees, problems, strict=True):
        if problem or not least <= degree <= most:
            return f"'{text[:40]}' {problem or f'is no {axis}'}"
    return ""


def _degrees(ours: str, column: FoundColumn) -> str:
    axis, least, most = _AXES[ours]
    degrees, _ = read_angles(np.array(list(column.counts), dtype=object), axis)
    known = degrees[np.isfinite(degrees)]
    if known.size < _LEAST_READ * degrees.size or known.min() < least or known.max() > most:
        return ""
    # Whole numbers are no position of a patch: they are more likely rows and columns of something.
    if column.is_numeric and column.is_whole:
        return ""
    return f"its cells are degrees, {examples(column, 1)}"


def _other(ours: str, column: FoundColumn) -> str:
    if ours in ("easting_m", "northing_m"):
        is_grid = (
            column.numbers_share >= _LEAST_READ and max(abs(column.least), abs(column.most)) > _LEAST_GRID
        )
        return range_words(column) if is_grid else ""
    if ours == "utm_zone":
        zones = [_is_zone(text) for text in column.counts]
        return f"zones, {examples(column)}" if all(zones) else ""
    grid = [
        len(text) >= 5 and text[:1].isdigit() and any(c.isalpha() for c in text) for text in column.counts
    ]
    return f"grid references, {examples(column, 1)}" if np.mean(grid) >= _LEAST_READ else ""


def _is_zone(text: str) -> bool:
    digits = text[: len(text) - len(text.lstrip("0123456789"))]
    return digits != "" and 1 <= int(digits) <= 60
