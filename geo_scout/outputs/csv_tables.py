"""Tables as CSV that spreadsheets open rightly and do not run."""

import csv
import io
import math
from collections.abc import Hashable
from pathlib import Path

import pandas as pd

from geo_scout.outputs.rounding import decimals_of

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def write_csv(path: Path, table: pd.DataFrame) -> None:
    """Write a rounded table: UTF-8 with byte-order mark, CRLF, comma, point, empty for missing.

    Text that a spreadsheet would run as a formula gets a leading apostrophe.
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(table.columns)
    columns = [[_cell(value, name) for value in table[name]] for name in table.columns]
    writer.writerows(zip(*columns, strict=True))
    path.write_bytes(b"\xef\xbb\xbf" + buffer.getvalue().encode("utf-8"))


def _cell(value: object, column: Hashable) -> str:
    if value is None or value is pd.NA or (isinstance(value, float) and math.isnan(value)):
        return ""
    decimals = decimals_of(str(column))
    if isinstance(value, float) and decimals is not None:
        return f"{value:.{decimals}f}"
    text = str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(FORMULA_STARTS) else text
