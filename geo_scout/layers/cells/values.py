"""A source's cells become a draft: our columns, each read as its kind."""

import re
from dataclasses import replace

import geopandas as gpd
import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.ancient_days import FIRST_DAY, drop_ancient_days
from geo_scout.layers.cells.dates import as_dates, as_day, is_interval, is_no_day, spreadsheet_day
from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma, say_commas
from geo_scout.layers.cells.efforts import EFFORT_FIX, read_efforts
from geo_scout.layers.cells.text_values import Texts, as_texts
from geo_scout.layers.drafts import ID_COLUMNS, LayerDraft, Rows, Why
from geo_scout.layers.inspect.date_formats import date_formats, first_part
from geo_scout.layers.opening.sources import Cells, Source
from geo_scout.layers.places.uncertainty import ERROR_COLUMN
from geo_scout.model.column import Column
from geo_scout.model.columns import SPREADSHEET_DAY, VECTOR_LAYERS
from geo_scout.model.listed import counted, listed

BLANK_FIX = "Fill the cell in, or take the row out."
UNREADABLE_FIX = "Correct the cell, or take the row out."
NO_DAY_FIX = "Correct the cell, or leave it blank where nobody knows the day."
_KEPT_BLANK = {("boundaries", "district"), ("boundaries", "jurisdiction")}
# A place without a name is no mistake: gazetteers hold many, and there is nothing to write on the map.
_MAY_BE_BLANK = {("places", "name")}
_AS_WRITTEN = ("text", "yes or no", "cover", "area")
_MEASURED = ("cover", "area")
# Of the day numbers of spreadsheets, five digits from 2 reach from 1954 to 2119.
_DAY_NUMBER = re.compile(r"[2-7][0-9]{4}")
_YEAR = re.compile(r"[12][0-9]{3}")


def fill_frame(draft: LayerDraft, cells: Cells, matched: dict[str, str]) -> None:
    """Give the draft its rows: ``row`` from 1, our columns as text or as stored, the file's shapes."""
    assert cells.geometry is not None
    number = len(cells.geometry)
    rows = np.arange(1, number + 1) if cells.rows is None else cells.rows
    data: dict[str, NDArray[np.generic]] = {"row": rows}
    if cells.error_m is not None:
        data[ERROR_COLUMN] = cells.error_m
    for column in VECTOR_LAYERS[draft.name].columns:
        is_text = column.kind in _AS_WRITTEN
        if column.name in matched:
            stored = cells.columns[matched[column.name]]
            is_number = column.kind in _MEASURED and stored.dtype.kind in "iuf"
            data[column.name] = as_texts(stored) if is_text and not is_number else stored
        else:
            data[column.name] = np.full(number, "" if is_text else None, dtype=object)
    draft.frame = gpd.GeoDataFrame(data, geometry=cells.geometry)
    draft.considered = number
    for fault in cells.faults:
        if fault.rows.any():
            draft.set_aside(np.isin(draft.frame["row"].to_numpy(), rows[fault.rows]), fault.why, fault.what)


def read_numbers_and_dates(draft: LayerDraft, matched: dict[str, str], source: Source) -> None:
    """Read the number and date columns; what cannot be read is a finding and becomes missing.

    Parameters
    ----------
    draft
        The layer; its columns change type.
    matched
        Our name -> the file's name.
    source
        The file: ``date_format`` is not for dates it types itself.
    """
    for column in VECTOR_LAYERS[draft.name].columns:
        written = draft.frame[column.name].to_numpy()
        if column.name == "effort_hours" and read_efforts(draft, column.name, as_texts(written)):
            continue
        if column.kind == "number":
            numbers, unreadable, comma = as_numbers_with_comma(written, draft.table.decimal_comma)
            say_commas(draft, column.name, comma)
            draft.frame[column.name] = numbers
            _say_unreadable(draft, column, written, unreadable, "a number", "12.5")
        elif column.kind == "date":
            is_typed = matched.get(column.name) in source.date_columns
            date_format = None if is_typed else draft.table.date_format
            days, unreadable = as_dates(written, date_format, or_typed=source.has_typed_dates)
            draft.frame[column.name] = days
            if date_format is None:
                _say_intervals(draft, column.name, as_texts(written))
            _say_unreadable(draft, column, written, unreadable, "a date", _date_example(draft))
            drop_ancient_days(draft, column.name)
            _keep_unread(draft, column, as_texts(written), date_format)


def _say_intervals(draft: LayerDraft, column: str, texts: Texts) -> None:
    """Note from how many intervals, such as 2024-06-20/2024-06-21, the first day was taken."""
    over = np.array([is_interval(text) for text in texts.tolist()], dtype=bool)
    if over.any():
        rows = draft.told(over, "row")
        what = f"{column} is an interval in {rows}, such as {texts[over][0]}; the first day was taken."
        draft.say("date-interval", "note", what, "Write one day where the first is not the one that counts.")


def set_aside_blanks(draft: LayerDraft) -> None:
    """Set aside rows whose required value is blank; a blank id becomes the row number."""
    name_rows_without_id(draft)
    for column in VECTOR_LAYERS[draft.name].columns:
        values = draft.frame[column.name].to_numpy()
        is_blank = (
            np.isnat(values) if column.kind == "date" else np.asarray(values.astype(object) == "", dtype=bool)
        )
        if not column.is_required or not is_blank.any():
            continue
        if (draft.name, column.name) in _KEPT_BLANK:
            what = f"{column.name} is blank for {draft.told(is_blank, 'feature')}."
            draft.say("blank-value", "caution", what, "Fill the cells in; until then it is unknown there.")
        else:
            _set_aside_missing(draft, column.name, is_blank)


def _set_aside_missing(draft: LayerDraft, column: str, is_missing: Rows) -> None:
    """Set aside rows without a required value: those with nothing in the cell, and those with no date."""
    unread = draft.unread.get(column, {})
    texts = [unread.get(row, "") for row in draft.frame["row"].to_numpy().tolist()]
    has_text = np.array([text != "" for text in texts], dtype=bool) & is_missing
    told = [text for text, there in zip(texts, has_text.tolist(), strict=True) if there]
    why = Why("blank-value", f"unusable {column}", UNREADABLE_FIX)
    blank = (is_missing & ~has_text)[~has_text]
    draft.set_aside(has_text, why, told)
    why = Why("blank-value", f"blank {column}", BLANK_FIX)
    if (draft.name, column) in _MAY_BE_BLANK:
        why = replace(why, grade="note", is_bad=False)
    draft.set_aside(blank, why, f"{column} is blank.")


def name_rows_without_id(draft: LayerDraft) -> None:
    """Give rows of a records layer without an id their row number as one, and say so.

    A table of visits may do without the column: nothing else names a visit.
    """
    own_id = ID_COLUMNS.get(draft.name, "")
    if not own_id.endswith("_id"):
        return
    ids = draft.texts(own_id)
    is_blank = ids == ""
    if not is_blank.any():
        return
    numbered = draft.told(is_blank, "feature")
    ids[is_blank] = draft.labels(is_blank)
    draft.frame[own_id] = ids
    if draft.name == "visits" and is_blank.all():
        what = f"no visit has a visit_id, so each is called by its row: {listed(list(ids), at_most=3)}."
        fix = "Add a visit_id, if visits are to keep their names when rows are added or sorted."
        draft.say("visits-numbered", "note", what, fix)
        return
    what = f"{numbered} had no {own_id}; the row number stands in for it."
    draft.say("blank-id", "caution", what, "Give every row an id of its own.")


def _keep_unread(draft: LayerDraft, column: Column, texts: Texts, date_format: str | None) -> None:
    """Keep what is wrong with the cells that hold a text and gave no day, for rows that need one."""
    is_missing = np.isnat(draft.frame[column.name].to_numpy()) & (texts != "")
    rows = draft.frame["row"].to_numpy()[is_missing].tolist()
    draft.unread[column.name] = {
        row: f"{column.name} {_no_date(text, date_format)}."
        for row, text in zip(rows, texts[is_missing].tolist(), strict=True)
    }


def _no_date(text: str, date_format: str | None) -> str:
    if is_no_day(text, date_format):
        return f"{as_day(text)} is no day of the calendar"
    if not np.isnat(as_dates(np.array([text], dtype=object), date_format, or_typed=True)[0][0]):
        return f"{as_day(text)} is before {FIRST_DAY}"
    return f"'{text}' is not a date"


def _say_unreadable(
    draft: LayerDraft, column: Column, written: NDArray[np.generic], unreadable: Rows, kind: str, example: str
) -> None:
    if not unreadable.any():
        return
    texts = as_texts(written)
    filled, bad = int((texts != "").sum()), int(unreadable.sum())
    no_day = unreadable.copy()
    no_day[unreadable] = [
        column.kind == "date" and is_no_day(text, draft.table.date_format) for text in texts[unreadable]
    ]
    other = unreadable & ~no_day
    no_day_fix = UNREADABLE_FIX if column.is_required else NO_DAY_FIX
    fix = EFFORT_FIX if column.name == "effort_hours" else f"Write it like {example}."
    if draft.bears(bad, filled):
        reason = f"unreadable {column.name}"
        for rows, what, how in ((no_day, "no day of the calendar", no_day_fix), (other, f"not {kind}", fix)):
            sentences = [
                f"{column.name} {_shown(text, rows is no_day)} is {what}; it is taken as missing."
                for text in texts[rows]
            ]
            draft.remark(rows, Why("value-unreadable", reason, how), sentences)
        return
    shown = [_shown(*cell) for cell in zip(texts[unreadable], no_day[unreadable], strict=True)]
    if not other.any():
        kind, fix = "a day of the calendar", no_day_fix
    elif column.kind == "date":
        fix = _how_dates_are_written(texts[other], example)
    what = (
        f"{column.name} is not {kind} in {bad:,} of {counted(filled, 'filled cell')}: "
        f"{listed(list(dict.fromkeys(shown)), at_most=3)}; the limit is "
        f"{100 * draft.season.rules.max_bad_share:g} percent (rules.max_bad_share)."
    )
    draft.say("column-unreadable", "stop", what, fix)


def _shown(text: str, is_none: bool) -> str:
    """Return the text of a cell for a sentence; a day that is none as year-month-day."""
    return as_day(text) if is_none else f"'{text}'"


def _how_dates_are_written(texts: Texts, example: str) -> str:
    """Return the fix for a column of dates: the formats that would read them, or what is missing."""
    formats = date_formats(texts)
    if formats == ("",):
        return "They are read as year-month-day without being told: take date_format out."
    if formats:
        shown = " or ".join(f'date_format = "{one}" ({first_part(one)})' for one in formats)
        return f"Say how they are written: {shown}."
    if all(_YEAR.fullmatch(text) for text in texts):
        return f"A year alone is no day: write a day of it, for instance its 1 July as {texts[0]}-07-01."
    if all(_DAY_NUMBER.fullmatch(text) for text in texts):
        shown = f"{texts[0]} for {spreadsheet_day(texts[0])}"
        return (
            f"They look like the day numbers of a spreadsheet, {shown}: say so, date_format = "
            f'"{SPREADSHEET_DAY}", or give the column a date format there, and save the table anew.'
        )
    return f'Say how they are written, for instance date_format = "%d.%m.%Y"; they were read like {example}.'


def _date_example(draft: LayerDraft) -> str:
    if draft.table.date_format == SPREADSHEET_DAY:
        return "45000, the day number of 2023-03-15"
    return f"{draft.season.as_of:{draft.table.date_format or '%Y-%m-%d'}}"
