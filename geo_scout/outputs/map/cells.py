"""Table columns as plain values that JSON can carry."""

import datetime as dt
import math
from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd

from geo_scout.model.rows import plain_values
from geo_scout.model.visible_text import printable

Cell = str | int | float | bool | None
Columns = dict[str, list[Cell]]


def cell(value: object) -> Cell:
    """Return one table value as JSON may carry it; missing and non-finite values become None."""
    if type(value) is float:
        return value if math.isfinite(value) else None
    plain = value.item() if isinstance(value, np.generic) else value
    if plain is None or plain is pd.NaT or plain is pd.NA:
        return None
    if isinstance(plain, bool | int):
        return plain
    if isinstance(plain, float):
        return plain if math.isfinite(plain) else None
    if isinstance(plain, dt.datetime):
        return plain.date().isoformat()
    if isinstance(plain, dt.date):
        return plain.isoformat()
    return printable(str(plain))


def column(values: Iterable[object]) -> list[Cell]:
    """Return a table column as a list of cells."""
    plain = plain_values(values) if isinstance(values, pd.Series) else values
    # Most are text with nothing to hide, or numbers.
    return [value if type(value) is str and value.isprintable() else cell(value) for value in plain]


def columns_of(frame: pd.DataFrame, names: Sequence[str]) -> Columns:
    """Return the named columns that the frame has, in the order asked for."""
    return {name: column(frame[name]) for name in names if name in frame.columns}


def each_text_once(values: Iterable[object]) -> tuple[list[Cell], list[int]]:
    """Return the different texts of a column in the order they come, and the number of each row's text.

    Missing values are "". Many sites share a text, so this keeps the file small.

    >>> each_text_once(["yes", None, "yes"])
    (['yes', ''], [0, 1, 0])
    """
    numbers: dict[Cell, int] = {}
    rows = [numbers.setdefault("" if value is None else value, len(numbers)) for value in column(values)]
    return list(numbers), rows
