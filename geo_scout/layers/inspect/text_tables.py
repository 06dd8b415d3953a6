"""Text tables and spreadsheets, described; they are opened as a run opens them."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pyogrio

from geo_scout.layers.inspect.columns_found import describe_column
from geo_scout.layers.opening.csv_files import open_csv
from geo_scout.layers.opening.sources import Source
from geo_scout.layers.opening.spreadsheets import SPREADSHEET_SUFFIXES, open_spreadsheet
from geo_scout.model.draft import FoundVector
from geo_scout.model.layer_table import LayerTable


def read_table(path: Path) -> Iterator[FoundVector]:
    """Yield each table of a text file or a spreadsheet that holds rows.

    Raises
    ------
    LayerRefused
        It cannot be read as a table.
    """
    if path.suffix.casefold() not in SPREADSHEET_SUFFIXES:
        yield from _described(path, "", open_csv)
        return
    sheets = [str(name) for name, _ in pyogrio.list_layers(path)]
    for sheet in sheets:
        yield from _described(path, sheet if len(sheets) > 1 else "", open_spreadsheet)


def _described(
    path: Path, sheet: str, open_table: Callable[[Path, LayerTable], Source]
) -> Iterator[FoundVector]:
    source = open_table(path, LayerTable(path=path.name, layer=sheet or None))
    names = [name for name in source.column_names if name]
    cells = source.read(names)
    number = len(cells.columns[names[0]]) if names else 0
    if not number:
        return
    yield FoundVector(
        path=path,
        layer=sheet,
        shapes="no shapes",
        rows=number,
        crs="",
        bounds=None,
        columns=tuple(describe_column(name, cells.columns[name]) for name in names),
        remarks=tuple(what for _, grade, what, _ in source.remarks if grade != "note"),
    )
