"""The calendar of sources: a table and a picture, first to open on top."""

from collections.abc import Hashable
from pathlib import Path
from typing import Any

import pandas as pd

from geo_scout.model.exclusion import NO_SOURCE
from geo_scout.model.window import MOMENTS
from geo_scout.outputs.calendar_picture import Row, calendar_svg
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.window_columns import WINDOW_COLUMNS

COLUMNS = (
    "agent",
    "site_id",
    "name",
    "rank",
    "status",
    "exclusion_codes",
    "window_kind",
    *WINDOW_COLUMNS,
    "window_basis",
    "window_note",
    "stop_and_ask",
)


def build_calendar(sources: pd.DataFrame) -> pd.DataFrame:
    """Return the sources in the order in which they open; those without a date last.

    Parameters
    ----------
    sources
        The printed table of sources, with its window columns.

    Returns
    -------
    pandas.DataFrame
        Ranked sources, and those with a population that may be collected but that are left out for another
        reason, such as a treatment: a plan may change.
    """
    holds = [not NO_SOURCE & set(codes.split("; ")) for codes in sources["exclusion_codes"]]
    shown = sources[(sources["status"] == "ranked") | pd.Series(holds, index=sources.index)]
    order = shown.assign(_undated=shown["window_opens"] == "").sort_values(
        ["_undated", "window_opens", "agent", "rank", "site_id"], kind="stable"
    )
    return order[[name for name in COLUMNS if name in order]].reset_index(drop=True)


def write_calendar(folder: Path, sources: pd.DataFrame, title: str) -> None:
    """Write calendar.csv and calendar.svg into the outputs folder.

    Parameters
    ----------
    folder
        Outputs folder.
    sources
        The printed table of sources, fit for its audience.
    title
        Title of the season.
    """
    calendar = build_calendar(sources)
    write_csv(folder / "calendar.csv", calendar)
    rows = [_row(record) for record in calendar.to_dict("records")]
    (folder / "calendar.svg").write_text(calendar_svg(title, rows), encoding="utf-8", newline="\n")


def _row(record: dict[Hashable, Any]) -> Row:
    dates = {
        name: pd.Timestamp(text).date() if (text := record[f"window_{name}"]) else None
        for name in (*MOMENTS, "opens_early", "opens_late")
    }
    return Row(
        label=f"{record['site_id']} {record['name']}".strip(),
        agent=record["agent"],
        note=_note(record),
        is_ranked=record["status"] == "ranked",
        question=record["stop_and_ask"],
        **dates,
    )


def _note(record: dict[Hashable, Any]) -> str:
    left_out = "" if record["status"] == "ranked" else f"left out: {record['exclusion_codes']}"
    note = str(record["window_note"])
    if not record["window_opens"] and not note:
        words = {"unknown": "window unknown", "host stage": "no dates: look for the stage of the host"}
        note = words.get(record["window_kind"], "no date")
    return "; ".join(part for part in (left_out, note) if part)
