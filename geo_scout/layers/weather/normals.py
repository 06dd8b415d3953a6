"""Monthly normals of stations: twelve months each."""

from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.months import check_monthly_pairs, check_months, mind_dryness
from geo_scout.layers.weather.stations import name_stations, stations_of
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed
from geo_scout.model.weather import MONTHS, StationNormals

_TROPIC_DEG = 23.5


def station_normals(
    table: LayerTable, path: Path, *, on_map: bool = True
) -> tuple[StationNormals | None, Noticed]:
    """Return the normals of a monthly table, None where they cannot be used, and what was noticed.

    Parameters
    ----------
    table
        The layer's settings; ``period`` names the years.
    path
        The file.
    on_map
        Whether they are brought to sites, so that one must know where the stations stand.
    """
    rows = read_table("station_normals", table, path, skip=() if on_map else ("precipitation",))
    if rows.is_stopped:
        return None, rows
    name_stations(rows)
    check_months(rows, ["station"])
    if not rows.is_stopped:
        check_monthly_pairs(rows)
    if rows.is_stopped:
        return None, rows
    stations = stations_of(rows, on_map=on_map)
    _mind_blanks(rows)
    mind_dryness(rows, ["station"])
    if rows.is_stopped:
        return None, rows
    _mind_seasons(rows, stations)
    if not table.period:
        what = "nobody says which years these normals are the mean of."
        rows.say("normals-period", "caution", what, 'Add it: period = "1991-2020"')
    tables = [_by_month(rows.frame, name) for name in ("tmin_degc", "tmax_degc", "precipitation_mm")]
    tmin, tmax, rain = (one.loc[stations.index] for one in tables)
    return StationNormals(stations, tmin, tmax, rain, table.period), rows


def _mind_blanks(rows: TableRows) -> None:
    blank = rows.frame[["tmin_degc", "tmax_degc"]].isna().any(axis=1)
    names = list(rows.frame.loc[blank, "station"].unique())
    if names:
        what = f"{listed(names, 3)} has a month without its temperatures, so that nothing can be made of it."
        rows.say("blank-value", "caution", what, "Write both temperatures for each of the twelve months.")


def _mind_seasons(rows: TableRows, stations: pd.DataFrame) -> None:
    """Caution where winter is warmer than summer: months in the wrong order, or another hemisphere."""
    mean = (_by_month(rows.frame, "tmin_degc") + _by_month(rows.frame, "tmax_degc")) / 2.0
    northern = mean[[6, 7, 8]].mean(axis=1) - mean[[12, 1, 2]].mean(axis=1)
    latitude = stations["latitude_deg"].reindex(mean.index)
    turned = (np.abs(latitude) > _TROPIC_DEG) & (northern * np.sign(latitude) < 0)
    if turned.any():
        names = list(turned.index[turned])
        where = f"{listed(names, 3)} (latitude {latitude[names[0]]:g} degrees)"
        what = f"winter is warmer than summer at {where}."
        fix = "Check that month 1 is January, and the sign of the latitude: south is below zero."
        rows.say("months-turned", "caution", what, fix)


def _by_month(frame: pd.DataFrame, name: str) -> pd.DataFrame:
    table = frame.pivot(index="station", columns="month", values=name)
    table.columns = table.columns.astype(int)
    return table.reindex(columns=list(MONTHS)).astype(np.float64)
