"""The rows of a plain table: columns matched, numbers, days and names read, units brought to ours."""

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.layers.cells.columns_match import match_columns
from geo_scout.layers.cells.dates import as_dates
from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma, say_commas
from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.open_source import open_source
from geo_scout.layers.opening.sources import Cells, Source
from geo_scout.layers.rasters.band_units import check_stated_units, to_our_units, way_to_ours
from geo_scout.layers.weather.missing_signs import without_missing_signs
from geo_scout.layers.weather.ready_variables import ready_variables, variable_columns
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.layers.weather.value_checks import check_values
from geo_scout.model.column import Column
from geo_scout.model.columns import CATCHES, CLIMATE_UNITS, TABLE_LAYERS
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted, listed
from geo_scout.model.quantities import CLIMATE_VARIABLES

_MEASURED: Mapping[str, tuple[str, str]] = {
    "tmin": ("temperature", "tmin_degc"),
    "tmax": ("temperature", "tmax_degc"),
    "precipitation": ("precipitation", "precipitation_mm"),
}
# A hundredth may be a few bad cells; more makes the table untrue. Our choice, as for rasters.
_UNTRUE_SHARE = 0.01


def read_table(name: str, table: LayerTable, path: Path, skip: Collection[str] = ()) -> TableRows:
    """Return the rows of a table layer; a stop finding says that they cannot be used.

    Parameters
    ----------
    name
        ``weather``, ``station_normals``, ``yearly_climate`` or ``catches``.
    table
        The layer's settings.
    path
        The file.
    skip
        Columns that are not read although the file may have them.
    """
    rows = TableRows(name, table=table)
    try:
        source = open_source(path, table)
        ready = _ready_variables(name, table, source)
        columns = _columns(name, ready)
        found = match_columns(
            [one for one in columns if one.name not in ready],
            source.column_names,
            table,
            rows,
            short_names=source.short_names,
        )
        matched = {ours: theirs for ours, theirs in found.items() if ours not in skip} | ready
        _refuse_one_for_both(rows, matched)
        check_stated_units(rows, table)
        for remark in source.remarks:
            rows.say(*remark)
        if not rows.is_stopped:
            _fill(rows, source, matched, columns)
    except LayerRefused as refused:
        rows.refuse(refused)
    return rows


def _refuse_one_for_both(rows: TableRows, matched: Mapping[str, str]) -> None:
    """Stop where one column is named for the lowest and the highest temperature: days would have no range."""
    theirs = matched.get("tmin")
    if theirs is not None and theirs == matched.get("tmax"):
        what = f"column '{theirs}' is named for both tmin and tmax."
        fix = "Name the lowest and the highest temperature of the day; a mean is neither."
        rows.say("column-twice", "stop", what, fix)


def _ready_variables(name: str, table: LayerTable, source: Source) -> dict[str, str]:
    """Return the climate variables of a yearly table that has no months; months go before them."""
    has_months = "month" in table.columns or "month" in map(folded, source.column_names)
    return {} if name != "yearly_climate" or has_months else ready_variables(source.column_names)


def _columns(name: str, ready: dict[str, str]) -> tuple[Column, ...]:
    own = CATCHES.columns if name == "catches" else TABLE_LAYERS[name].columns
    if not ready:
        return own
    return (*(one for one in own if one.name in ("place", "year")), *variable_columns(ready))


def _fill(rows: TableRows, source: Source, matched: dict[str, str], columns: Sequence[Column]) -> None:
    cells = source.read(list(matched.values()))
    number = len(next(iter(cells.columns.values())))
    if not number:
        what = f"'{rows.table.path}' holds no row."
        rows.say("layer-empty", "stop", what, "Give the file that has them.")
        return
    rows.given = frozenset(matched)
    data: dict[str, NDArray[np.generic]] = {
        "row": np.arange(1, number + 1) if cells.rows is None else cells.rows
    }
    for column in columns:
        written = cells.columns[matched[column.name]] if column.name in matched else None
        data[_MEASURED.get(column.name, ("", column.name))[1]] = _read(rows, column, written, number)
    rows.frame = pd.DataFrame(data)
    _drop_faults(rows, cells)
    check_values(rows)


def _read(
    rows: TableRows, column: Column, written: NDArray[np.generic] | None, number: int
) -> NDArray[np.generic]:
    if column.kind == "text":
        return np.full(number, "", dtype=object) if written is None else as_texts(written)
    if column.kind == "date":
        assert written is not None
        days, unreadable = as_dates(written, rows.table.date_format, or_typed=True)
        _say_unreadable(rows, column, written, unreadable, "a date", "2026-05-31")
        return days.astype("datetime64[s]")
    if written is None:
        return np.full(number, np.nan)
    if column.name in _MEASURED or column.name in CLIMATE_VARIABLES:
        written = without_missing_signs(rows, column.name, written)
    numbers, unreadable, comma = as_numbers_with_comma(written, rows.table.decimal_comma)
    say_commas(rows, column.name, comma)
    _say_unreadable(rows, column, written, unreadable, "a number", "12.5")
    if column.name in CLIMATE_VARIABLES:
        [factor], [zero] = to_our_units([column.name], rows.table, [1.0], [0.0])
        return numbers * factor + zero
    kind, _ = _MEASURED.get(column.name, ("", ""))
    factor, zero = way_to_ours(kind, rows.table.units.get(kind, CLIMATE_UNITS[kind][0])) if kind else (1, 0)
    return numbers * factor + zero


def _say_unreadable(
    rows: TableRows,
    column: Column,
    written: NDArray[np.generic],
    unreadable: NDArray[np.bool_],
    kind: str,
    example: str,
) -> None:
    if not unreadable.any():
        return
    texts = as_texts(written)
    seen = listed([f"'{text}'" for text in dict.fromkeys(texts[unreadable])], at_most=3)
    is_most = unreadable.sum() > _UNTRUE_SHARE * max(int((texts != "").sum()), 1)
    what = f"{column.name} is not {kind} in {counted(int(unreadable.sum()), 'row')}: {seen}"
    if column.name == "month":
        example = "1 for January, up to 12"
    elif column.name == "year":
        example = "2014"
    fix = f"Write it like {example}" + (", or state date_format." if kind == "a date" else ".")
    # Nothing needs an optional column, so that what is wrong in it must not cost the whole table.
    if is_most and column.is_required:
        rows.say("value-unreadable", "stop", f"{what}.", fix)
    else:
        rows.say("value-unreadable", "caution", f"{what}; taken as missing.", fix)


def _drop_faults(rows: TableRows, cells: Cells) -> None:
    numbers = rows.frame["row"].to_numpy()
    for fault in cells.faults:
        bad = np.isin(rows.frame["row"].to_numpy(), numbers[fault.rows])
        rows.refuse_rows(bad, fault.why.code, fault.why.reason, fault.why.fix, _UNTRUE_SHARE)
