"""Text tables: encoding, delimiter, rows of unequal length; every cell stays text."""

import csv
import io
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from geo_scout.layers.drafts import Why
from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.column_names import refuse_wrong_names
from geo_scout.layers.opening.encodings import decode_table
from geo_scout.layers.opening.sources import Cells, Fault, Remark, Source
from geo_scout.layers.opening.unreadable import wrong_kind
from geo_scout.model.file_signatures import kind_of_bytes
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted

CSV_SUFFIXES = frozenset({".csv", ".tsv", ".txt"})
_DELIMITERS = (",", ";", "\t", "|")
# Some spreadsheet programs write the delimiter above the header, for themselves.
_SEPARATOR_LINE = re.compile(r"sep=([,;|\t])\r?\n", re.IGNORECASE)
# Spreadsheet programs run text that starts so as a formula; our own tables put an apostrophe before it.
_GUARDED = ("'=", "'+", "'-", "'@", "'\t", "'\r", "'\n")
UNEVEN = Why(
    "uneven-row", "row of another length", "Put quotes around cells that hold the delimiter or a new line."
)


def open_csv(path: Path, table: LayerTable) -> Source:
    """Return an opened text table.

    Raises
    ------
    LayerRefused
        The file is empty, holds no header or is not a text table.
    """
    remarks: list[Remark] = []
    text = _read_decoded(path, table, remarks)
    rows = _rows(text, table)
    numbers = np.array(list(rows)[1:], dtype=np.int64)
    names, *body = rows.values()
    header = [name.strip() for name in names]
    refuse_wrong_names(header, table)

    def read(columns: Sequence[str]) -> Cells:
        uneven = np.array([len(row) != len(header) for row in body], dtype=bool)
        what = tuple(
            f"it has {counted(len(row), 'cell')}; the header has {len(header)}."
            for row, is_uneven in zip(body, uneven, strict=True)
            if is_uneven
        )
        even = [row if len(row) == len(header) else [""] * len(header) for row in body]
        chosen = {name: header.index(name) for name in dict.fromkeys(columns)}
        cells = {
            name: np.array([_unguarded(row[at]) for row in even], dtype=object) for name, at in chosen.items()
        }
        return Cells(cells, None, (Fault(uneven, UNEVEN, what),), rows=numbers)

    return Source(tuple(header), None, has_geometry=False, read=read, remarks=remarks)


def _read_decoded(path: Path, table: LayerTable, remarks: list[Remark]) -> str:
    try:
        stored = path.read_bytes()
    except OSError as error:
        what = f"'{table.path}' cannot be read: {error.strerror or error}."
        raise LayerRefused(
            what, code="file-unreadable", fix="Give a text table that you may read."
        ) from error
    kind = kind_of_bytes(stored)
    if kind:
        raise wrong_kind(table, "a text table", kind)
    return decode_table(stored, table, remarks)


def _rows(text: str, table: LayerTable) -> dict[int, list[str]]:
    """Return row number -> cells of each row that is not blank; rows count as in spreadsheets, from 1."""
    stated = _SEPARATOR_LINE.match(text)
    text = text[stated.end() :] if stated else text
    header = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = stated[1] if stated else max(_DELIMITERS, key=header.count)
    try:
        rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        read = {number: row for number, row in enumerate(rows, start=1) if any(row)}
    except csv.Error as error:
        what = f"'{table.path}' cannot be read as a text table: {error}."
        raise LayerRefused(what, code="file-unreadable", fix="Save it anew as CSV UTF-8.") from error
    if not read:
        what = f"'{table.path}' is empty; not even a header is there."
        raise LayerRefused(
            what, code="file-unreadable", fix="Give a table with a header and one row for each feature."
        )
    return read


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith(_GUARDED) else cell
