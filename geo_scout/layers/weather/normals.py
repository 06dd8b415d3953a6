"""Monthly normals of stations: twelve months each."""

from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.stations import name_stations, stations_of
from geo_scout.layers.weather.table_rows import TableRows, read_table
from geo_scout.layers.wording import listed
from geo_scout.model.season import LayerTable
from geo_scout.model.weather import MONTHS, StationNormals


def station_normals(table: LayerTable, path: Path) -> tuple[StationNormals | None, Noticed]:
    """Return the normals of a monthly table, None where they cannot be used, and what was noticed.

    Parameters
    ----------
    table
        The layer's settings; ``period`` names the years.
    path
        The file.
    """
    rows = read_table("station_normals", table, path)
    if rows.is_stopped:
        return None, rows
    name_stations(rows)
    check_months(rows, ["station"])
    if not rows.is_stopped:
        check_monthly_pairs(rows)
    stations = stations_of(rows)
    if rows.is_stopped:
        return None, rows
    if not table.period:
        what = "nobody says which years these normals are the mean of."
        rows.say("normals-period", "caution", what, 'Add it: period = "1991-2020"')
    tables = [_by_month(rows.frame, name) for name in ("tmin_degc", "tmax_degc", "precipitation_mm")]
    tmin, tmax, rain = (one.loc[stations.index] for one in tables)
    return StationNormals(stations, tmin, tmax, rain, table.period), rows


def check_months(rows: TableRows, of: list[str]) -> None:
    """Stop where a station, or a year of a place, does not have each of the twelve months once."""
    month = rows.frame["month"]
    bad = ~month.isin(list(MONTHS))
    if bad.any():
        seen = listed([f"{value:g}" for value in month[bad].unique()], 3)
        what = f"month is {seen}; months are the numbers 1 to 12."
        rows.say("months", "stop", what, "Write 1 for January to 12 for December, one row for each month.")
        return
    counts = rows.frame.groupby(of, sort=False)["month"].agg(["size", "nunique"])
    for name, size, different in counts.itertuples():
        if size == different == len(MONTHS):
            continue
        label = " ".join(str(part) for part in name) if isinstance(name, tuple) else str(name)
        how = f"{size} rows for {different} months" if size != different else f"{size} months"
        rows.say("months", "stop", f"{label} has {how}; each month is needed once.", "Give twelve rows each.")
        return


def check_monthly_pairs(rows: TableRows) -> None:
    """Stop where a monthly minimum lies above its maximum: normals with one such month are untrue."""
    above = (rows.frame["tmin_degc"] > rows.frame["tmax_degc"]).to_numpy()
    if above.any():
        first = rows.frame[above].iloc[0]
        what = (
            f"tmin is above tmax in {int(above.sum())} of {len(above):,} rows, first in row {first['row']} "
            f"({first['tmin_degc']:g} and {first['tmax_degc']:g} degC)."
        )
        rows.say("tmin-above-tmax", "stop", what, "Check whether the two columns are exchanged.")


def _by_month(frame: pd.DataFrame, name: str) -> pd.DataFrame:
    table = frame.pivot(index="station", columns="month", values=name)
    table.columns = table.columns.astype(int)
    return table.reindex(columns=list(MONTHS)).astype(np.float64)
