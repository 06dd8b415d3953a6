"""Spreadsheets: the sheet, the row that holds the names of the columns, merged cells; every cell is text."""

import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pyogrio
import pyogrio.raw
from numpy.typing import NDArray

from geo_scout.layers.cells.text_values import Texts, as_texts
from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.column_names import refuse_wrong_names
from geo_scout.layers.opening.encodings import stated_encoding
from geo_scout.layers.opening.gdal_settings import plain_cells
from geo_scout.layers.opening.merged_cells import MergedCells, read_merged_cells
from geo_scout.layers.opening.ogr_files import choose_layer, told
from geo_scout.layers.opening.sources import Cells, Remark, Source
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted, listed

SPREADSHEET_SUFFIXES = frozenset({".xlsx", ".xlsm", ".ods"})
_FILLED = "Give the file that has the table in it."
_ROWS_LOOKED_AT = 30
_LEAST_SHARE = 0.5
_NUMBER = re.compile(r"[+-]?[0-9.,]+(?:[eE][+-]?[0-9]+)?")


def open_spreadsheet(path: Path, table: LayerTable) -> Source:
    """Return an opened sheet of an .xlsx or .ods file.

    Raises
    ------
    LayerRefused
        The file cannot be read, has no sheet of the name given, or the sheet is empty.
    """
    remarks: list[Remark] = []
    stated_encoding(path.suffix.casefold(), table, remarks)
    sheet = choose_layer(path, table, remarks, noun="sheet")
    grid = told(lambda: _read_grid(path, sheet), path, table, remarks)
    filled = np.flatnonzero((grid != "").any(axis=1)) if grid.size else np.array([], dtype=np.int64)
    if not len(filled):
        what = f"sheet '{sheet}' of '{table.path}' is empty."
        others = [name for name, _ in pyogrio.list_layers(path) if name != sheet]
        fix = f'Name the sheet that has the table, for instance: layer = "{others[0]}"' if others else _FILLED
        raise LayerRefused(what, code="file-unreadable", fix=fix)
    at = _header_row(grid, filled)
    if at != filled[0]:
        what = (
            f"row {at + 1} of sheet '{sheet}' was taken for the names of the columns; the rows above it were "
            "not read."
        )
        remarks.append(
            ("header-row", "note", what, "Take the rows above the names out of the sheet to be sure.")
        )
    merged = read_merged_cells(path, sheet) if path.suffix.casefold() != ".ods" else []
    _fill_merged(grid, merged, at, table, remarks)
    header = _header(grid[at], grid[at + 1 :], table, remarks)
    body = np.flatnonzero((grid != "").any(axis=1) & (np.arange(len(grid)) > at))

    def read(columns: Sequence[str]) -> Cells:
        cells = {name: grid[body, header[name]] for name in dict.fromkeys(columns)}
        return Cells(cells, None, rows=body + 1)

    return Source(tuple(header), None, has_geometry=False, read=read, has_typed_dates=True, remarks=remarks)


def _read_grid(path: Path, sheet: str) -> Texts:
    """Return the cells as text, (rows, columns); the reader's own guesses at header and types are off."""
    with plain_cells():
        _, _, _, values = pyogrio.raw.read(path, layer=sheet, read_geometry=False, datetime_as_string=True)
    if not len(values):
        return np.empty((0, 0), dtype=object)
    return np.column_stack([as_texts(column) for column in values])


def _header_row(grid: Texts, filled: NDArray[np.int64]) -> int:
    """Return the first row of words that is about as wide as the table; else the first that is filled.

    A title above the table is narrower, and a row of data holds a number.
    """
    looked_at = filled[:_ROWS_LOOKED_AT]
    widths = (grid[looked_at] != "").sum(axis=1)
    for row, width in zip(looked_at, widths, strict=True):
        words = [text for text in grid[row] if text]
        is_wide = width >= max(2.0, _LEAST_SHARE * widths.max())
        if is_wide and not any(_NUMBER.fullmatch(word) for word in words):
            return int(row)
    return int(filled[0])


def _header(names: Texts, body: Texts, table: LayerTable, remarks: list[Remark]) -> dict[str, int]:
    """Return name -> position of every column that has one; a column without a name is said."""
    refuse_wrong_names(names.tolist(), table)
    nameless = [at for at, name in enumerate(names) if not name and len(body) and (body[:, at] != "").any()]
    if nameless:
        number = counted(len(nameless), "column")
        what = f"{number} without a name were not read: {listed([_letters(at) for at in nameless])}."
        remarks.append(("column-nameless", "caution", what, "Give each column a name of its own."))
    return {str(name): at for at, name in enumerate(names) if name}


def _fill_merged(
    grid: Texts, merged: Sequence[MergedCells], header: int, table: LayerTable, remarks: list[Remark]
) -> None:
    """Give the rows of a block merged downwards its one value; blocks across columns stay as they are."""
    downwards, across = [], []
    for block in merged:
        if block.last_row <= header or block.first_column >= grid.shape[1] or block.first_row >= len(grid):
            continue
        if block.first_column != block.last_column:
            across.append(block.reference)
        elif block.last_row > block.first_row and block.first_row > header:
            grid[block.first_row : block.last_row + 1, block.first_column] = grid[
                block.first_row, block.first_column
            ]
            downwards.append(block.reference)
    if downwards:
        what = (
            f"'{table.path}' has merged cells ({listed(downwards, 5)}); each of their rows got the one value."
        )
        remarks.append(("cells-merged", "caution", what, "Unmerge them and write the value into every row."))
    if across:
        what = (
            f"'{table.path}' has cells merged across columns ({listed(across, 5)}); the value counts for the "
            "first column only."
        )
        remarks.append(("cells-merged-across", "caution", what, "Unmerge them and fill in every column."))


def _letters(position: int) -> str:
    """Return the name a spreadsheet gives a column: 0 is A, 26 is AA."""
    letters = ""
    position += 1
    while position:
        position, rest = divmod(position - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
