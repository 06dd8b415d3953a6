"""Tables named on the command line, without a season around them."""

import datetime as dt
from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.opening.open_source import open_source
from geo_scout.layers.weather.daily import daily_weather
from geo_scout.layers.weather.normals import station_normals
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.weather import DailyWeather, StationNormals

# Of a table that nobody gave rules for; the season's own default.
_MAX_BAD_SHARE = 0.05


def daily_or_normals(
    table: LayerTable, path: Path, as_of: dt.date
) -> tuple[DailyWeather | StationNormals | None, Noticed]:
    """Return a table's daily weather, or its monthly normals where it has months and no dates.

    Parameters
    ----------
    table
        Its settings.
    path
        The file.
    as_of
        Days after it are left out.
    """
    noticed = Noticed("weather")
    try:
        source = open_source(path, table)
    except LayerRefused as refused:
        noticed.refuse(refused)
        return None, noticed
    names = {name.strip().casefold() for name in source.column_names}
    has_dates = "date" in table.columns or "date" in names
    if not has_dates and ("month" in table.columns or "month" in names):
        return station_normals(table, path, on_map=False)
    return daily_weather(table, path, as_of, _MAX_BAD_SHARE, on_map=False)


def dated_catches(table: LayerTable, path: Path) -> tuple[pd.DataFrame, Noticed]:
    """Return ``station`` (empty where none is named), ``date`` and ``count``, and what was noticed.

    A row without a count is refused: nobody knows whether it was a catch or a visit that caught none.
    """
    rows: TableRows = read_table("catches", table, path)
    if rows.is_stopped:
        return pd.DataFrame(), rows
    fix = "Write the day of the visit."
    rows.refuse_rows(
        rows.frame["date"].isna().to_numpy(), "blank-value", "date is blank", fix, _MAX_BAD_SHARE
    )
    bad = ~(np.isfinite(rows.frame["count"]) & (rows.frame["count"] >= 0)).to_numpy()
    fix = "Write the number caught; 0 where none was."
    rows.refuse_rows(bad, "blank-value", "count is blank or negative", fix, _MAX_BAD_SHARE)
    if rows.is_stopped:
        return pd.DataFrame(), rows
    return rows.frame[["station", "date", "count"]], rows
