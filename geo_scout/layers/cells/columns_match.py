"""The user's columns are matched to ours: by the season's mapping first, then by our own name."""

from collections.abc import Mapping, Sequence

from geo_scout.layers.cells.likely_columns import likely_name
from geo_scout.layers.noticed import Noticed
from geo_scout.layers.places.positions import POSITION_NAMES
from geo_scout.layers.wording import did_you_mean, nearest_name
from geo_scout.model.column import Column
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

SHAPEFILE_NAME_LENGTH = 10


def match_columns(
    columns: Sequence[Column], names: Sequence[str], table: LayerTable, noticed: Noticed, *, short_names: bool
) -> dict[str, str]:
    """Return our name -> the file's name for every column that was found.

    Parameters
    ----------
    columns
        The columns of the layer's kind.
    names
        The file's column names.
    table
        The layer's settings, with its mapping.
    noticed
        Where findings go: a stop for a mapped or a required column that is not there.
    short_names
        Whether the format cuts names at ten characters, as shapefiles do.
    """
    _refuse_unknown_keys(columns, table.columns, noticed)
    found = _mapped(columns, names, table.columns, noticed)
    taken = set(found.values())
    for column in columns:
        if column.name in table.columns:
            continue
        theirs = _by_own_name(column.name, names, short_names=short_names)
        # A column the season gives another meaning is not taken for ours because it has our name.
        if theirs and theirs not in taken:
            found[column.name] = theirs
            if folded(theirs) != column.name:
                _say_shortened(column.name, theirs, noticed)
        elif column.is_required:
            _say_missing(column, [name for name in names if name not in taken], names, noticed)
    return found


def _mapped(
    columns: Sequence[Column], names: Sequence[str], mapping: Mapping[str, str], noticed: Noticed
) -> dict[str, str]:
    found = {}
    for column in columns:
        if column.name not in mapping:
            continue
        wanted = mapping[column.name]
        theirs = _same_name(wanted, names)
        if theirs:
            found[column.name] = theirs
            continue
        what = f"there is no column '{wanted}' for {column.name}; the columns are {listed(names)}."
        near = nearest_name(wanted, names) or likely_name(column.name, names, noticed.name)
        noticed.say("column-not-found", "stop", what, _mapping_of(column.name, near))
    return found


def _same_name(wanted: str, names: Sequence[str]) -> str:
    if wanted in names:
        return wanted
    alike = [name for name in names if folded(name) == folded(wanted)]
    return alike[0] if len(alike) == 1 else ""


def _by_own_name(own: str, names: Sequence[str], *, short_names: bool) -> str:
    cut = own[:SHAPEFILE_NAME_LENGTH]
    return _same_name(own, names) or (_same_name(cut, names) if short_names else "")


def _say_missing(column: Column, free: Sequence[str], names: Sequence[str], noticed: Noticed) -> None:
    what = f"no column holds {column.name} ({column.meaning}); the columns are {listed(names)}."
    likely = likely_name(column.name, free, noticed.name)
    fix = _mapping_of(column.name, likely) + ("" if likely else "; if none does, add one to the file.")
    noticed.say("column-missing", "stop", what, fix)


def _mapping_of(ours: str, theirs: str) -> str:
    if theirs:
        return f"Did you mean '{theirs}'? Then write: columns = {{{ours} = \"{theirs}\"}}"
    return f'Say which one it is: columns = {{{ours} = "YOURS"}}'


def _say_shortened(own: str, theirs: str, noticed: Noticed) -> None:
    what = f"column '{theirs}' was read as {own}: shapefiles keep ten characters of a name."
    noticed.say("column-shortened", "note", what, f'To be sure of it, add: columns = {{{own} = "{theirs}"}}')


def _refuse_unknown_keys(columns: Sequence[Column], mapping: Mapping[str, str], noticed: Noticed) -> None:
    known = [*(column.name for column in columns), *POSITION_NAMES]
    for key in mapping:
        if key not in known:
            what = f"`columns` names '{key}', which is no column of this layer; they are {listed(known, 20)}."
            fix = f"Write one of ours before the equals sign.{did_you_mean(key, known)}"
            noticed.say("column-key-unknown", "stop", what, fix)
