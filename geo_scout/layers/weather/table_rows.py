"""The rows of a plain table: columns matched, numbers, days and names read, units brought to ours."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.layers.cells.columns_match import match_columns
from geo_scout.layers.cells.dates import as_dates
from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma, say_commas
from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.opening.open_source import open_source
from geo_scout.layers.opening.sources import Cells, Source
from geo_scout.layers.rasters.band_units import check_stated_units, way_to_ours
from geo_scout.layers.rasters.limits import limits_of
from geo_scout.layers.wording import counted, listed
from geo_scout.model.columns import CATCHES, CLIMATE_UNITS, TABLE_LAYERS, Column
from geo_scout.model.season import LayerTable

_MEASURED: Mapping[str, tuple[str, str]] = {
    "tmin": ("temperature", "tmin_degc"),
    "tmax": ("temperature", "tmax_degc"),
    "precipitation": ("precipitation", "precipitation_mm"),
}
# A hundredth may be a few bad cells; more makes the table untrue. Our choice, as for rasters.
_UNTRUE_SHARE = 0.01
_KELVIN_DEGC = (180.0, 340.0)


@dataclass
class TableRows(Noticed):
    """One table while it is being read.

    Parameters
    ----------
    table
        The layer's settings.
    frame
        ``row`` (number in the file, from 1) and every column of ``TABLE_LAYERS[name]`` as text, number or
        day; measured ones in degrees Celsius and millimetres under our own names.
    given
        Our names of the columns the file has.
    """

    table: LayerTable = field(kw_only=True)
    frame: pd.DataFrame = field(kw_only=True, default_factory=pd.DataFrame)
    given: frozenset[str] = field(kw_only=True, default=frozenset())

    def refuse_rows(self, rows: NDArray[np.bool_], code: str, why: str, fix: str, max_share: float) -> None:
        """Take rows out with one finding; a stop where they are more than a share of all."""
        if not rows.any():
            return
        share, numbers = rows.mean(), self.frame["row"].to_numpy()[rows]
        named = listed([f"row {number}" for number in numbers], at_most=5)
        what = f"{why}: {counted(int(rows.sum()), 'row')} of {len(rows):,} ({named})."
        if share > max_share:
            self.say(code, "stop", what, fix)
        else:
            self.say(code, "caution", f"Set aside: {what}", fix)
        self.frame = self.frame[~rows].reset_index(drop=True)


def read_table(name: str, table: LayerTable, path: Path) -> TableRows:
    """Return the rows of a table layer; a stop finding says that they cannot be used.

    Parameters
    ----------
    name
        ``weather``, ``station_normals``, ``yearly_climate`` or ``catches``.
    table
        The layer's settings.
    path
        The file.
    """
    rows = TableRows(name, table=table)
    try:
        source = open_source(path, table)
        matched = match_columns(
            _columns(name), source.column_names, table, rows, short_names=source.short_names
        )
        check_stated_units(rows, table)
        for remark in source.remarks:
            rows.say(*remark)
        if not rows.is_stopped:
            _fill(rows, source, matched)
    except LayerRefused as refused:
        rows.refuse(refused)
    return rows


def _columns(name: str) -> tuple[Column, ...]:
    return CATCHES.columns if name == "catches" else TABLE_LAYERS[name].columns


def _fill(rows: TableRows, source: Source, matched: dict[str, str]) -> None:
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
    for column in _columns(rows.name):
        written = cells.columns[matched[column.name]] if column.name in matched else None
        data[_MEASURED.get(column.name, ("", column.name))[1]] = _read(rows, column, written, number)
    rows.frame = pd.DataFrame(data)
    _drop_faults(rows, cells)
    _check_values(rows)


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
    numbers, unreadable, comma = as_numbers_with_comma(written, rows.table.decimal_comma)
    say_commas(rows, column.name, comma)
    _say_unreadable(rows, column, written, unreadable, "a number", "12.5")
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
    fix = f"Write it like {example}" + (", or state date_format." if kind == "a date" else ".")
    if is_most:
        rows.say("value-unreadable", "stop", f"{what}.", fix)
    else:
        rows.say("value-unreadable", "caution", f"{what}; taken as missing.", fix)


def _drop_faults(rows: TableRows, cells: Cells) -> None:
    for fault in cells.faults:
        kept = np.isin(rows.frame["row"], (cells.rows if cells.rows is not None else rows.frame["row"]))
        bad = fault.rows[: len(kept)]
        rows.refuse_rows(bad, fault.why.code, fault.why.reason, fault.why.fix, _UNTRUE_SHARE)


def _check_values(rows: TableRows) -> None:
    """Say which values cannot be: a wrong unit makes the table untrue, a few bad cells become missing."""
    for name in rows.frame.columns.intersection(["tmin_degc", "tmax_degc", "precipitation_mm"]):
        values = rows.frame[name].to_numpy(dtype=np.float64, copy=True)
        known = values[np.isfinite(values)]
        least, most = limits_of("tmin_01_degc" if name.endswith("_degc") else "bio13")
        beyond = (values < least) | (values > most)
        if not beyond.any():
            continue
        unit = "degC" if name.endswith("_degc") else "mm"
        what = (
            f"{name.rpartition('_')[0]} runs from {known.min():g} to {known.max():g} {unit}; nothing on land "
            f"is below {least:g} or above {most:g} {unit}, and {counted(int(beyond.sum()), 'row')} "
            f"{'is' if beyond.sum() == 1 else 'are'} beyond."
        )
        if beyond.sum() > _UNTRUE_SHARE * len(known):
            looks, fix = _hint(name, known)
            rows.say("unit-impossible", "stop", what + looks, fix)
        else:
            values[beyond] = np.nan
            rows.frame[name] = values
            rows.say("unit-doubtful", "caution", f"{what} Taken as missing.", "Mend the cells in the table.")


def _hint(name: str, known: NDArray[np.float64]) -> tuple[str, str]:
    if name == "precipitation_mm":
        return "", 'State its unit, for example: units = {precipitation = "inch"}; missing is an empty cell.'
    if _KELVIN_DEGC[0] <= known.mean() <= _KELVIN_DEGC[1] and known.std() < 40:
        return " It looks like Kelvin.", 'If so, add: units = {temperature = "kelvin"}'
    if known.max() <= 140.0:
        return " It looks like Fahrenheit.", 'If so, add: units = {temperature = "degf"}'
    return " It looks like tenths of a degree.", 'If so, add: units = {temperature = "tenths of degc"}'
