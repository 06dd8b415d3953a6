"""Tables as CSV that spreadsheets open rightly and do not run."""

import csv
import io
from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.model.rows import plain_values
from geo_scout.outputs.rounding import decimals_of

FORMULA_STARTS = frozenset("=+-@\t\r\n")


def write_csv(path: Path, table: pd.DataFrame) -> None:
    """Write a rounded table: UTF-8 with byte-order mark, CRLF, comma, point, empty for missing.

    Text that a spreadsheet would run as a formula gets a leading apostrophe.
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(table.columns)
    columns = [_cells(table[name], decimals_of(str(name))) for name in table.columns]
    writer.writerows(zip(*columns, strict=True))
    path.write_bytes(b"\xef\xbb\xbf" + buffer.getvalue().encode("utf-8"))


def _cells(column: pd.Series, decimals: int | None) -> list[str]:
    """Return a column as text; one look at what the column is, not one for each cell."""
    values = plain_values(column)
    if column.dtype == np.float64 and decimals is not None:
        # Only what is missing is not equal to itself.
        return [f"{value:.{decimals}f}" if value == value else "" for value in values]
    number = "" if decimals is None else f".{decimals}f"
    return [
        (f"'{value}" if value[:1] in FORMULA_STARTS else value)
        if type(value) is str
        else _cell(value, number)
        for value in values
    ]


def _cell(value: object, number: str) -> str:
    if value is None or value is pd.NA or value != value:
        return ""
    return format(value, number) if isinstance(value, float) else str(value)
