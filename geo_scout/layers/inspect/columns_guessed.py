"""The columns of a table are matched to ours by what their names mean and what their cells hold."""

from collections.abc import Iterable, Mapping, Set

from geo_scout.layers.inspect.cell_tests import cells_fit, is_tally, range_words
from geo_scout.layers.inspect.names import likeness, words_of
from geo_scout.layers.inspect.positions_guessed import guess_exchanged, guess_position
from geo_scout.layers.inspect.raster_sets import is_variable
from geo_scout.layers.inspect.synonyms import (
    COLUMN_PHRASES,
    POSITION_PHRASES,
    ROW_NUMBERS,
    WEAK_PHRASES,
)
from geo_scout.layers.inspect.unit_words import without_units
from geo_scout.model.column import Column
from geo_scout.model.columns import columns_of
from geo_scout.model.draft import ColumnGuess, FoundColumn, FoundVector
from geo_scout.model.folded import folded

Hints = Mapping[str, Set[str]]
"""Per column of ours: values other layers hold in the same meaning, folded."""

NAME_WEIGHT, CELLS_WEIGHT = 0.65, 0.35
LEAST_LIKE, LEAST_SCORE, SURE_SCORE = 0.6, 0.55, 0.75
POSITION_WAYS = (
    ("longitude_deg", "latitude_deg"),
    ("easting_m", "northing_m", "utm_zone"),
    ("easting_m", "northing_m"),
    ("grid_reference",),
)
_OF_A_YEAR = ("place", "year")
_MONTH = COLUMN_PHRASES["yearly_climate"]["month"]
_LEAST_SHARED = 0.6
_ROW_NUMBER_LIKE, _WEAK_LIKE, _UNIT_TAKEN = 0.62, 0.75, 0.95


def guess_columns(kind: str, found: FoundVector, hints: Hints | None = None) -> tuple[ColumnGuess, ...]:
    """Return the file's column for each of ours that one was found for, each column used once.

    Parameters
    ----------
    kind
        Name of our layer.
    found
        The table.
    hints
        Values that other layers hold in the same meaning.
    """
    scored = [
        guess
        for ours in columns_of(kind)
        for column in found.columns
        if (guess := _guess(kind, ours, column, found, hints or {})) is not None
    ]
    chosen: dict[str, ColumnGuess] = {}
    taken: set[str] = set()
    for guess in sorted(scored, key=lambda one: (-one.score, folded(one.theirs) != one.ours)):
        if guess.ours not in chosen and guess.theirs not in taken:
            chosen[guess.ours] = guess
            taken.add(guess.theirs)
    for other in _positions_too_many(chosen):
        del chosen[other]
    if found.shapes == "no shapes" and not position_of(chosen):
        used = {guess.theirs for guess in chosen.values()}
        free = [column for column in found.columns if column.name not in used]
        chosen |= {guess.ours: guess for guess in guess_exchanged(free)}
    named = tuple(chosen[column.name] for column in columns_of(kind) if column.name in chosen)
    return (*named, *(_ready_variables(found) if kind == "yearly_climate" else ()))


def position_of(columns: Iterable[str]) -> tuple[str, ...]:
    """Return our columns that say where a row of a table is: the first way whose columns are all there."""
    there = set(columns)
    return next((way for way in POSITION_WAYS if there >= set(way)), ())


def _positions_too_many(chosen: Mapping[str, ColumnGuess]) -> list[str]:
    """Return position columns that are not part of the one way that is used."""
    used = position_of(chosen)
    return [name for name in chosen if name in POSITION_PHRASES and name not in used]


def required_of(kind: str, found: FoundVector) -> tuple[str, ...]:
    """Return our columns that a layer cannot do without: no months where years have ready variables."""
    needed = tuple(column.name for column in columns_of(kind) if column.is_required)
    is_ready = kind == "yearly_climate" and _ready_variables(found)
    return tuple(name for name in needed if name in _OF_A_YEAR) if is_ready else needed


def _ready_variables(found: FoundVector) -> list[ColumnGuess]:
    """Return the columns of a yearly table without months that hold climate variables, by their own names."""
    if any(likeness(column.name, _MONTH)[0] == 1.0 for column in found.columns):
        return []
    return [
        ColumnGuess(folded(column.name), column.name, 1.0, f"a climate variable; {range_words(column)}")
        for column in found.columns
        if is_variable(column.name) and column.is_numeric
    ]


def _guess(
    kind: str, ours: Column, column: FoundColumn, found: FoundVector, hints: Hints
) -> ColumnGuess | None:
    if ours.name in POSITION_PHRASES:
        return guess_position(ours.name, column) if found.shapes == "no shapes" else None
    shared, words_shared = _shared(column, hints.get(ours.name, frozenset()))
    refers = kind == "visits" and ours.name == "release_id"
    fit, words = cells_fit(ours, column, refers_elsewhere=refers)
    if fit == 0.0:
        return None
    like, phrase = _name_like(kind, ours, column.name)
    parts = [_name_words(ours.name, column.name, phrase, like)] if like >= LEAST_LIKE else []
    if shared >= _LEAST_SHARED:
        parts.append(words_shared)
        like, fit = max(like, 0.9 * shared), max(fit, shared)
    # Numbers of something are no ids, unless the releases have them, too.
    is_count = refers and is_tally(column) and shared < _LEAST_SHARED
    if like < LEAST_LIKE or is_count:
        return None
    score = round(NAME_WEIGHT * like + CELLS_WEIGHT * fit, 2)
    if score < LEAST_SCORE:
        return None
    return ColumnGuess(ours.name, column.name, score, "; ".join([*parts, words]))


def _name_like(kind: str, ours: Column, name: str) -> tuple[float, str]:
    if folded(name) == ours.name:
        return 1.0, ours.name
    if folded(name) in ROW_NUMBERS and ours.name.endswith("id"):
        return _ROW_NUMBER_LIKE, "id"
    phrases = (ours.name.replace("_", " "), *COLUMN_PHRASES[kind][ours.name])
    like, phrase = likeness(name, phrases)
    if ours.kind == "area" and like < _UNIT_TAKEN:
        bare, bare_phrase = likeness(without_units(name), phrases)
        like, phrase = max((like, phrase), (round(_UNIT_TAKEN * bare, 2), bare_phrase))
    if like < _WEAK_LIKE and words_of(name) in _weak_names(kind, ours.name):
        return _WEAK_LIKE, name.strip().casefold()
    return like, phrase


def _weak_names(kind: str, ours: str) -> list[tuple[str, ...]]:
    return [words_of(phrase) for phrase in WEAK_PHRASES.get(kind, {}).get(ours, ())]


def _name_words(ours: str, name: str, phrase: str, like: float) -> str:
    if folded(name) == ours:
        return "it has our name"
    if folded(name) in ROW_NUMBERS:
        return "row numbers a program gave, which change when the file is saved anew"
    return f"the name means '{phrase}'" if like >= 0.9 else f"the name is like '{phrase}'"


def _shared(column: FoundColumn, elsewhere: Set[str]) -> tuple[float, str]:
    """Return the share of filled cells whose value stands in another layer too."""
    if not elsewhere or not column.filled:
        return 0.0, ""
    rows = sum(number for text, number in column.counts.items() if folded(text) in elsewhere)
    return rows / column.filled, f"{rows:,} of {column.filled:,} values stand in another layer too"
