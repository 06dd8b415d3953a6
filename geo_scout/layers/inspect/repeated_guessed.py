"""Visits that stand beside their release in one row: numbered columns such as check_1_date, check_2_date."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from geo_scout.layers.inspect.cell_tests import cells_fit
from geo_scout.layers.inspect.columns_found import describe_column
from geo_scout.layers.inspect.date_guesses import guess_date_format
from geo_scout.layers.inspect.names import likeness
from geo_scout.layers.inspect.synonyms import COLUMN_PHRASES
from geo_scout.layers.inspect.word_guesses import guess_words
from geo_scout.model.column import Column
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.draft import ColumnGuess, FoundColumn, FoundVector, LayerGuess, SettingGuess
from geo_scout.model.layer_table import VisitColumns

_NUMBERED = re.compile(r"(?P<before>\D*?)[ _.-]*0?(?P<number>[1-9]|1[0-9])(?P<after>(?:[ _.-]*\D+)?)")
_SHARED = ("release_id", "agent")
_PLACED = ("crs", "encoding")
_LEAST_VISITS, _LEAST_LIKE, _LEAST_FIT, _SURE_DATE = 2, 0.6, 0.5, 0.9
_NEEDED = ("date", "result")
Entries = Mapping[int, Mapping[str, str]]


def guess_flat_visits(releases: LayerGuess) -> LayerGuess | None:
    """Return the visits that stand in the rows of a table of releases; None where there are none.

    Parameters
    ----------
    releases
        The table, recognised as releases, with its columns and settings.

    Notes
    -----
    Columns whose names differ in one number alone belong together. What is left of a name says what the
    column holds; a name that is nothing but a number and one word, such as CHECK1, is told by its cells. A
    visit needs a date and a result, and one alone is no repetition.
    """
    shared = tuple(guess for guess in releases.columns if guess.ours in _SHARED)
    if releases.vector is None or {guess.ours for guess in shared} != set(_SHARED):
        return None
    taken = {guess.theirs for guess in releases.columns}
    entries = _entries([column for column in releases.vector.columns if column.name not in taken])
    if len(entries) < _LEAST_VISITS:
        return None
    repeated = [
        {ours: entry[ours] for ours in VisitColumns.model_fields if ours in entry}
        for _, entry in sorted(entries.items())
    ]
    question = (
        f"Does each row hold up to {len(repeated)} visits to its release, in these columns? One without a "
        "date is none."
    )
    evidence = "columns whose names differ in a number alone, with dates and results"
    merged = _merged(releases, repeated)
    settings = (
        SettingGuess("repeated", repeated, evidence, question),
        *(setting for setting in releases.settings if setting.key in _PLACED),
        *guess_date_format(merged),
        *guess_words(merged),
    )
    told = (f"{len(repeated)} visits in each row of the releases",)
    return LayerGuess(
        "visits", releases.score, told, vector=releases.vector, columns=shared, settings=settings
    )


def numbered_columns(found: FoundVector) -> frozenset[str]:
    """Return the names of columns that hold several visits in one row; none where there is but one."""
    entries = _entries(found.columns)
    return frozenset(
        name for entry in entries.values() for name in entry.values() if len(entries) >= _LEAST_VISITS
    )


def _entries(columns: Iterable[FoundColumn]) -> Entries:
    """Return per number our name -> the file's, for those that hold a date and a result."""
    families: dict[tuple[str, str], dict[int, FoundColumn]] = {}
    for column in columns:
        parts = _NUMBERED.fullmatch(column.name.strip())
        if parts is not None:
            bare = parts["before"].strip(" _.-").casefold(), parts["after"].strip(" _.-").casefold()
            families.setdefault(bare, {})[int(parts["number"])] = column
    repeated = {bare: found for bare, found in families.items() if len(found) >= _LEAST_VISITS}
    meanings = _meanings(repeated)
    entries: dict[int, dict[str, str]] = {}
    for ours, bare in meanings.items():
        for number, column in repeated[bare].items():
            entries.setdefault(number, {})[ours] = column.name
    return {number: entry for number, entry in entries.items() if set(_NEEDED) <= set(entry)}


def _meanings(
    families: Mapping[tuple[str, str], Mapping[int, FoundColumn]],
) -> dict[str, tuple[str, str]]:
    """Return which family of columns carries each of our meanings: the surest first, each used once."""
    columns = {column.name: column for column in VECTOR_LAYERS["visits"].columns}
    scored = [
        (score, ours, bare)
        for bare, found in families.items()
        for ours in VisitColumns.model_fields
        if (score := _score(columns[ours], bare, list(found.values()))) > 0.0
    ]
    chosen: dict[str, tuple[str, str]] = {}
    for _, ours, bare in sorted(scored, key=lambda one: (-one[0], one[1], one[2])):
        if ours not in chosen and bare not in chosen.values():
            chosen[ours] = bare
    return chosen


def _score(ours: Column, bare: tuple[str, str], found: Sequence[FoundColumn]) -> float:
    fits = [cells_fit(ours, column)[0] for column in found if column.filled]
    fit = min(fits, default=0.0)
    if fit < _LEAST_FIT:
        return 0.0
    # The word before the number often only says that it is a visit: "check 1 date", "visit 2 found".
    name = " ".join(part for part in bare if part)
    phrases = (ours.name.replace("_", " "), *COLUMN_PHRASES["visits"][ours.name])
    like = max(likeness(one, phrases)[0] for one in {name, *(part for part in bare if part)})
    if like < _LEAST_LIKE:
        # Nothing but dates, or nothing but yes and no, can be told by the cells.
        return 0.3 * fit if ours.name in _NEEDED and fit >= _SURE_DATE else 0.0
    return like + fit


def _merged(releases: LayerGuess, repeated: Sequence[Mapping[str, str]]) -> LayerGuess:
    """Return a layer whose date and result hold the cells of all visits, for what is asked of both."""
    assert releases.vector is not None
    found = {column.name: column for column in releases.vector.columns}
    merged = [
        describe_column(
            next(entry[ours] for entry in repeated),
            np.array([text for entry in repeated for text in found[entry[ours]].values], dtype=object),
            is_typed_date=all(found[entry[ours]].is_typed_date for entry in repeated),
        )
        for ours in _NEEDED
    ]
    guesses = tuple(
        ColumnGuess(ours, column.name, 1.0, "") for ours, column in zip(_NEEDED, merged, strict=True)
    )
    return LayerGuess(
        "visits", 1.0, (), vector=replace(releases.vector, columns=tuple(merged)), columns=guesses
    )
