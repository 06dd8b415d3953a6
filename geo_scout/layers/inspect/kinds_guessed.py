"""Which of our layers a table is, from its shapes, its columns and its name."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from geo_scout.layers.inspect.columns_guessed import Hints, guess_columns, position_of, required_of
from geo_scout.layers.inspect.map_synonyms import MAP_PHRASES, OF_THE_TRADE
from geo_scout.layers.inspect.names import likeness, words_of
from geo_scout.layers.inspect.plain_names import is_plainly_called
from geo_scout.layers.inspect.record_synonyms import OF_ANY_TAXON
from geo_scout.layers.inspect.repeated_guessed import numbered_columns
from geo_scout.layers.inspect.spare_columns import spare_columns
from geo_scout.layers.inspect.synonyms import (
    AGAINST,
    COLUMN_PHRASES,
    LAYER_PHRASES,
    TELLING,
)
from geo_scout.model.columns import TABLE_LAYERS, VECTOR_LAYERS
from geo_scout.model.draft import ColumnGuess, FoundVector, LayerGuess
from geo_scout.model.listed import counted

LEAST_SCORE = 0.5
_NEAR_BEST = 0.12
_PLAIN, _LEAST_NEAR, _LEAST_PLACES = 0.75, 0.14, 0.3
# Any column called name or type is like theirs.
_PLACES = frozenset({"boundaries", "land_classes", "roads"})
_SAYS_SO = 0.4
_SAYS_WHAT = frozenset({"agent"})
_REQUIRED_WEIGHT, _TELLING_WEIGHT, _NAME_WEIGHT, _AGAINST_WEIGHT = 0.45, 0.25, 0.30, 0.25
_NO_POSITION = 0.75
_SHAPES_FIT: Mapping[str, Mapping[str, float]] = {
    "polygons or points": {
        "polygons": 1.0, "points": 1.0, "polygons and points": 1.0, "mixed shapes": 0.9, "no shapes": 1.0,
        "lines": 0.9,
    },
    "polygons": {"polygons": 1.0, "polygons and points": 0.5, "mixed shapes": 0.5},
    "points": {"points": 1.0, "no shapes": 1.0},
    "lines": {"lines": 1.0},
    "lines or polygons": {"lines": 1.0, "polygons": 1.0, "mixed shapes": 0.9},
}  # fmt: skip
_WEED_WORDS = frozenset({"weed", "noxious", "invasive", "infestation"})
_TABLES_FIT: Mapping[str, float] = {"no shapes": 1.0}
_COLUMNED = (*VECTOR_LAYERS, *TABLE_LAYERS)


@dataclass(frozen=True)
class Assigned:
    """Tables and the layers they seem to be, and tables that seem to be none or one that is taken."""

    layers: tuple[LayerGuess, ...]
    rest: tuple[tuple[FoundVector, LayerGuess | None], ...]


def assign_kinds(found: Sequence[FoundVector]) -> Assigned:
    """Return the tables as layers, each layer once: the surest pair first.

    A table is given to a layer only where no other layer fits it clearly better.
    """
    guesses = [[guess_layer(kind, table) for kind in _COLUMNED] for table in found]
    best = [max((guess.score for guess in row), default=0.0) for row in guesses]
    pairs = [
        (guess, number)
        for number, row in enumerate(guesses)
        for guess in row
        if guess.score >= LEAST_SCORE and guess.score >= best[number] - _NEAR_BEST
        if guess.kind == "infestations" or not lacking_for_good(guess)
    ]
    chosen: dict[str, LayerGuess] = {}
    used: set[int] = set()
    for guess, number in sorted(pairs, key=lambda pair: (-pair[0].score, pair[1])):
        if guess.kind not in chosen and number not in used:
            chosen[guess.kind] = guess
            used.add(number)
    rest = [
        (
            table,
            next((guess for guess, one in sorted(pairs, key=lambda p: -p[0].score) if one == number), None),
        )
        for number, table in enumerate(found)
        if number not in used
    ]
    return Assigned(tuple(chosen[kind] for kind in _COLUMNED if kind in chosen), tuple(rest))


def lacking_for_good(guess: LayerGuess) -> tuple[str, ...]:
    """Return what a layer cannot do without, none of the file's other columns can be, and nobody can number.

    An id can be counted and a date be looked up; without an agent's name the rows say nothing.
    """
    if guess.vector is None or guess.kind in TABLE_LAYERS:
        return ()
    matched = {one.ours for one in guess.columns}
    lacking = [name for name in required_of(guess.kind, guess.vector) if name not in matched]
    return tuple(name for name in lacking if name in _SAYS_WHAT and not spare_columns(guess, name))


def nearest_layer(found: FoundVector) -> LayerGuess | None:
    """Return the layer that a table looks most like, though not enough; None where it looks like none."""
    guesses = [guess_layer(kind, found) for kind in VECTOR_LAYERS]
    near = [
        guess
        for guess in guesses
        if guess.columns and guess.score >= (_LEAST_PLACES if guess.kind in _PLACES else _LEAST_NEAR)
    ]
    return max(near, key=lambda guess: guess.score, default=None)


def guess_layer(kind: str, found: FoundVector, hints: Hints | None = None) -> LayerGuess:
    """Return how much a table looks like one of our layers, with its columns.

    Parameters
    ----------
    kind
        Name of our layer.
    found
        The table.
    hints
        Values that other layers hold in the same meaning, by our column.
    """
    is_table = kind in TABLE_LAYERS
    fits = _TABLES_FIT if is_table else _SHAPES_FIT[VECTOR_LAYERS[kind].shapes]
    fit = fits.get(found.shapes, 0.0)
    if fit == 0.0 or (kind in MAP_PHRASES and not _is_for_the_map(kind, found)):
        return LayerGuess(kind, 0.0, (), vector=found)
    columns = guess_columns(kind, found, hints)
    named, phrase = _name_like(kind, found)
    said = f"its name says '{phrase}'" if phrase else ""
    has_place = found.shapes != "no shapes" or bool(position_of(guess.ours for guess in columns))
    if not named and has_place:
        named, said = _column_says(kind, found, columns)
    required = _required(kind, found, columns)
    telling = [guess for guess in columns if guess.ours in TELLING[kind]]
    enough = max(1, min(2, len(TELLING[kind])))
    against = _against(kind, found)
    score = fit * (
        _REQUIRED_WEIGHT * required
        + _TELLING_WEIGHT * min(1.0, sum(guess.score for guess in telling) / enough)
        + _NAME_WEIGHT * named
        - _AGAINST_WEIGHT * len(against)
    )
    if not has_place and not is_table:
        score *= _NO_POSITION
    evidence = _evidence(kind, found, columns, said)
    return LayerGuess(kind, round(max(score, 0.0), 2), evidence, vector=found, columns=columns)


def _is_for_the_map(kind: str, found: FoundVector) -> bool:
    """Return whether a table is called water or places, and no column says that it is something more."""
    if not is_plainly_called(found, MAP_PHRASES[kind]):
        return False
    words = {word for column in found.columns for word in words_of(column.name)}
    return not words & OF_THE_TRADE and not _against(kind, found)


def _required(kind: str, found: FoundVector, columns: Sequence[ColumnGuess]) -> float:
    needed = required_of(kind, found)
    if not needed:
        return 1.0
    scores = {guess.ours: guess.score for guess in columns}
    return sum(scores.get(name, 0.0) for name in needed) / len(needed)


def _name_like(kind: str, found: FoundVector) -> tuple[float, str]:
    """Return 1 where the layer's or the file's name says it, less where only a folder does."""
    for text, weight in ((found.layer, 1.0), (found.path.stem, 1.0 if not found.layer else 0.6),
                         (found.path.parent.name, 0.4)):  # fmt: skip
        words = set(words_of(text))
        hits = [phrase for phrase in LAYER_PHRASES[kind] if set(words_of(phrase)) <= words]
        if hits:
            return weight, max(hits, key=len)
    return 0.0, ""


def _column_says(kind: str, found: FoundVector, columns: Sequence[ColumnGuess]) -> tuple[float, str]:
    """Return a little, and words for it, where a column of points is called what one layer has: a weed."""
    ours = {"infestations": "host", "releases": "agent"}.get(kind, "")
    guess = next((one for one in columns if one.ours == ours), None)
    if guess is None or found.shapes not in ("points", "no shapes"):
        return 0.0, ""
    if kind == "releases":
        says = _is_agent(guess.theirs) and set(required_of(kind, found)) <= {one.ours for one in columns}
    else:
        has_agent = any(_is_agent(column.name) for column in found.columns)
        says = bool(_WEED_WORDS & set(words_of(guess.theirs))) and not has_agent
    return (_SAYS_SO, f"a column is called '{guess.theirs}'") if says else (0.0, "")


def _is_agent(name: str) -> bool:
    phrases = [
        phrase for phrase in COLUMN_PHRASES["releases"]["agent"] if phrase not in ("species", *OF_ANY_TAXON)
    ]
    return likeness(name, phrases)[0] >= _PLAIN


def _against(kind: str, found: FoundVector) -> list[str]:
    """Return columns that clearly carry a meaning of another layer."""
    hits = []
    # Visits that stand beside their release in one row speak for releases.
    beside = numbered_columns(found) if kind == "releases" else frozenset()
    for other, ours in AGAINST.get(kind, ()):
        guess = next((one for one in guess_columns(other, found) if one.ours == ours), None)
        if guess is not None and guess.score >= _PLAIN and guess.theirs not in beside:
            hits.append(guess.theirs)
    return hits


def _evidence(kind: str, found: FoundVector, columns: Sequence[ColumnGuess], said: str) -> tuple[str, ...]:
    rows = "many rows" if found.rows is None else counted(found.rows, "row")
    evidence = [f"{found.shapes}, {rows}"]
    looked = len(found.columns[0].values) if found.columns else 0
    if found.rows is None or found.rows > looked > 0:
        evidence.append(f"the first {looked:,} were looked at")
    if said:
        evidence.append(said)
    needed = required_of(kind, found)
    matched = {guess.ours for guess in columns}
    if needed:
        lacking = [name for name in needed if name not in matched]
        evidence.append(f"lacks {', '.join(lacking)}" if lacking else f"has {', '.join(needed)}")
    telling = [guess.theirs for guess in columns if guess.ours in TELLING[kind] and guess.ours not in needed]
    if telling:
        evidence.append(f"also {', '.join(telling)}")
    return tuple(evidence)
