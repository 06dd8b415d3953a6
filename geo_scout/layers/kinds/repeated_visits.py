"""A flat table with several visits in one row: each entry of ``repeated`` that has a date becomes a visit."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.noticed import Noticed
from geo_scout.layers.opening.sources import Cells, Fault, Source
from geo_scout.layers.wording import nearest_name
from geo_scout.model.column import Column
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable, VisitColumns
from geo_scout.model.listed import counted, listed

PER_VISIT = tuple(VisitColumns.model_fields)
_OF_THE_ROW = ("release_id", "agent", "coordinate_uncertainty_m")
_ID = "visit_id"
_SHOWN = 5
Entry = Mapping[str, str]


def columns_of_the_row(table: LayerTable) -> tuple[Column, ...]:
    """Return our columns that all visits of a row share: those that say which release, and those mapped."""
    return tuple(
        column
        for column in VECTOR_LAYERS["visits"].columns
        if column.name in _OF_THE_ROW or column.name in table.columns
    )


def match_repeated(names: Sequence[str], table: LayerTable, noticed: Noticed) -> list[Entry]:
    """Return our name -> the file's name for each visit of a row; a column not there is a stop finding.

    Parameters
    ----------
    names
        The file's column names.
    table
        The layer's settings, with ``repeated``.
    noticed
        Where findings go.
    """
    entries: list[Entry] = []
    for number, visit in enumerate(table.repeated, start=1):
        wanted = {ours: str(theirs) for ours, theirs in visit if theirs}
        found = {ours: _same_name(theirs, names) for ours, theirs in wanted.items()}
        for ours in (ours for ours, theirs in found.items() if not theirs):
            what = (
                f"repeated[{number}] names '{wanted[ours]}' for {ours}, and there is no such column; the "
                f"columns are {listed(names)}."
            )
            near = nearest_name(wanted[ours], names)
            fix = f'Write in its table: {ours} = "{near or "YOURS"}"'
            noticed.say("column-not-found", "stop", what, fix)
        entries.append(found)
    return entries


def unroll(
    cells: Cells, matched: Mapping[str, str], entries: Sequence[Entry], source: Source, noticed: Noticed
) -> tuple[Cells, dict[str, str], Source]:
    """Return one row for each visit, its columns under our names; ``visit_id`` is the row's and a number.

    Parameters
    ----------
    cells
        The rows of the file, with their shapes, (n,).
    matched
        Our name -> the file's for the columns that the visits of a row share.
    entries
        The same for each visit of a row, all there.
    source
        The file: which of its columns hold dates.
    noticed
        Where visits without a date are told.

    Returns
    -------
    cells, matched, source
        As they came, for (m,) visits; row numbers are those of the file.
    """
    number = len(cells.geometry) if cells.geometry is not None else 0
    rows = np.arange(1, number + 1) if cells.rows is None else np.asarray(cells.rows)
    days = [as_texts(cells.columns[entry["date"]]) for entry in entries]
    is_visit = np.column_stack([day != "" for day in days]) if number else np.zeros((0, len(entries)), bool)
    row_at, entry_at = np.nonzero(is_visit)
    columns = {ours: cells.columns[theirs][row_at] for ours, theirs in matched.items() if ours != _ID}
    for ours in PER_VISIT:
        if any(ours in entry for entry in entries):
            columns[ours] = _of_each_visit(cells, entries, ours)[row_at, entry_at]
    base = _names_of_rows(cells, matched, rows)
    columns[_ID] = np.array(
        [f"{base[row]}/{entry + 1}" for row, entry in zip(row_at.tolist(), entry_at.tolist(), strict=True)],
        dtype=object,
    )
    _say_undated(cells, entries, is_visit, base, noticed)
    unrolled = Cells(
        columns=columns,
        geometry=None if cells.geometry is None else cells.geometry[row_at],
        faults=tuple(_repeated(fault, row_at) for fault in cells.faults),
        error_m=None if cells.error_m is None else cells.error_m[row_at],
        rows=rows[row_at],
    )
    typed = [entry["date"] in source.date_columns for entry in entries]
    dates = {ours for ours, theirs in matched.items() if theirs in source.date_columns}
    read = replace(
        source,
        date_columns=frozenset(dates | ({"date"} if all(typed) else set())),
        has_typed_dates=source.has_typed_dates or any(typed),
    )
    return unrolled, {ours: ours for ours in columns}, read


def _same_name(wanted: str, names: Sequence[str]) -> str:
    if wanted in names:
        return wanted
    alike = [name for name in names if folded(name) == folded(wanted)]
    return alike[0] if len(alike) == 1 else ""


def _of_each_visit(cells: Cells, entries: Sequence[Entry], ours: str) -> NDArray[Any]:
    """Return a column of all visits, (rows, entries): numbers where all of them are, text otherwise."""
    stored = [cells.columns[entry[ours]] if ours in entry else None for entry in entries]
    given = [values for values in stored if values is not None]
    if len(given) == len(entries) and all(values.dtype.kind in "iuf" for values in given):
        return np.column_stack([values.astype(np.float64) for values in given])
    blank = np.full(len(given[0]), "", dtype=object)
    return np.column_stack([blank if values is None else as_texts(values) for values in stored])


def _names_of_rows(cells: Cells, matched: Mapping[str, str], rows: NDArray[Any]) -> NDArray[np.object_]:
    """Return what the visits of each row are called after: the release, else the row's id or number."""
    names = np.array([f"row {row}" for row in rows.tolist()], dtype=object)
    for ours in (_ID, "release_id"):
        if ours in matched:
            ids = as_texts(cells.columns[matched[ours]])
            names = np.where(ids != "", ids, names)
    return names


def _say_undated(
    cells: Cells,
    entries: Sequence[Entry],
    is_visit: NDArray[np.bool_],
    base: NDArray[np.object_],
    noticed: Noticed,
) -> None:
    """Caution on results without a date: nobody can tell when they were seen."""
    told = np.column_stack([as_texts(cells.columns[entry["result"]]) != "" for entry in entries])
    undated = [f"{base[row]}/{entry + 1}" for row, entry in np.argwhere(told & ~is_visit).tolist()]
    if undated:
        verbs = ("has", "is") if len(undated) == 1 else ("have", "are")
        what = (
            f"{counted(len(undated), 'visit')} {verbs[0]} a result but no date, and {verbs[1]} not used: "
            f"{listed(undated, _SHOWN)}."
        )
        noticed.say("visit-undated", "caution", what, "Fill in the date, or blank the result.")


def _repeated(fault: Fault, row_at: NDArray[np.intp]) -> Fault:
    """Return the fault of rows as one of their visits, a sentence for each."""
    sentence = dict(zip(np.flatnonzero(fault.rows).tolist(), fault.what, strict=True))
    rows = fault.rows[row_at]
    return Fault(rows, fault.why, tuple(sentence[row] for row in row_at[rows].tolist()))
