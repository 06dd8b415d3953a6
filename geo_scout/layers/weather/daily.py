"""Daily weather: one row per station and day, gaps filled only when told."""

import datetime as dt
from pathlib import Path

import pandas as pd

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.gaps import mind_gaps
from geo_scout.layers.weather.same_spots import join_spots
from geo_scout.layers.weather.stations import name_stations, stations_of
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted, listed
from geo_scout.model.weather import DailyWeather

_VALUES = ["tmin_degc", "tmax_degc", "precipitation_mm"]
_SWAPPED_SHARE = 0.5


def daily_weather(
    table: LayerTable, path: Path, as_of: dt.date, max_bad_share: float, *, on_map: bool = True
) -> tuple[DailyWeather | None, Noticed]:
    """Return the weather of a daily table, None where it cannot be used, and what was noticed.

    Parameters
    ----------
    table
        The layer's settings; ``fill_gaps_days`` is the longest gap that is filled by a straight line.
    path
        The file.
    as_of
        Days after it are not known yet and are left out, and said.
    max_bad_share
        Largest share of rows that may be set aside for one reason.
    on_map
        Whether the weather is brought to sites, so that one must know where the stations stand.
    """
    rows = read_table("weather", table, path, skip=() if on_map else ("precipitation",))
    if rows.is_stopped:
        return None, rows
    name_stations(rows)
    blank = rows.frame["date"].isna().to_numpy()
    rows.refuse_rows(blank, "blank-value", "date is blank or unreadable", "Write the day.", max_bad_share)
    for check in (_drop_future, _check_pairs, _drop_repeated):
        if not rows.is_stopped:
            check(rows, as_of, max_bad_share)
    if rows.is_stopped:
        return None, rows
    stations = stations_of(rows, on_map=on_map)
    if on_map:
        stations = join_spots(rows, stations)
    days = rows.frame[["station", "date", *_VALUES]].sort_values(["station", "date"], kind="stable")
    days = _drop_silent(mind_gaps(days.reset_index(drop=True), rows), rows)
    if rows.is_stopped:
        return None, rows
    return DailyWeather(stations.loc[stations.index.isin(days["station"])], days), rows


def _drop_silent(days: pd.DataFrame, rows: TableRows) -> pd.DataFrame:
    """Leave out stations of which no day has both temperatures."""
    heard = days.dropna(subset=["tmin_degc", "tmax_degc"])["station"].unique()
    silent = [name for name in days["station"].unique() if name not in set(heard)]
    if not silent:
        return days
    what = f"{listed(silent, 3)} has no day with both temperatures"
    fix = "Give the days, or take its rows out."
    if len(heard):
        rows.say("station-silent", "caution", f"{what}; left out.", fix)
    else:
        rows.say("station-silent", "stop", f"{what}.", fix)
    return days[days["station"].isin(heard)].reset_index(drop=True)


def _drop_future(rows: TableRows, as_of: dt.date, _: float) -> None:
    later = (rows.frame["date"] > pd.Timestamp(as_of)).to_numpy()
    if later.all():
        what = f"every day of the table lies after {as_of}, so nothing of it is known yet."
        rows.say("weather-future", "stop", what, "Check the years, or `as_of` under [season].")
    elif later.any():
        what = f"{counted(int(later.sum()), 'day')} after {as_of} (as_of) left out: not known yet."
        rows.say("weather-future", "note", what, "A forecast is no measurement; give what was measured.")
        rows.frame = rows.frame[~later].reset_index(drop=True)


def _check_pairs(rows: TableRows, _: dt.date, max_bad_share: float) -> None:
    above = (rows.frame["tmin_degc"] > rows.frame["tmax_degc"]).to_numpy()
    if above.mean() > _SWAPPED_SHARE:
        what = f"tmin is above tmax on {counted(int(above.sum()), 'day')} of {len(above):,}."
        rows.say("tmin-above-tmax", "stop", what, "The two look exchanged; check `columns`.")
        return
    fix = "Mend the cells: the lowest temperature of a day is not above its highest."
    rows.refuse_rows(above, "tmin-above-tmax", "tmin is above tmax", fix, max_bad_share)


def _drop_repeated(rows: TableRows, _: dt.date, max_bad_share: float) -> None:
    repeated = rows.frame.duplicated(["station", "date"]).to_numpy()
    fix = "Keep one row for each station and day."
    rows.refuse_rows(repeated, "day-repeated", "the same day of a station again", fix, max_bad_share)
