"""Daily weather: one row per station and day, gaps filled only when told."""

import datetime as dt
from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.stations import name_stations, stations_of
from geo_scout.layers.weather.table_rows import TableRows, read_table
from geo_scout.layers.wording import counted, listed
from geo_scout.model.season import LayerTable
from geo_scout.model.weather import DailyWeather

_VALUES = ["tmin_degc", "tmax_degc", "precipitation_mm"]
_SWAPPED_SHARE = 0.5


def daily_weather(
    table: LayerTable, path: Path, as_of: dt.date, max_bad_share: float
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
    """
    rows = read_table("weather", table, path)
    if rows.is_stopped:
        return None, rows
    name_stations(rows)
    blank = rows.frame["date"].isna().to_numpy()
    rows.refuse_rows(blank, "blank-value", "date is blank or unreadable", "Write the day.", max_bad_share)
    _drop_future(rows, as_of)
    _check_pairs(rows, max_bad_share)
    _drop_repeated(rows, max_bad_share)
    stations = stations_of(rows)
    if rows.is_stopped:
        return None, rows
    days = rows.frame[["station", "date", *_VALUES]].sort_values(["station", "date"], kind="stable")
    days = _mind_gaps(days.reset_index(drop=True), rows)
    return (None if rows.is_stopped else DailyWeather(stations, days)), rows


def _drop_future(rows: TableRows, as_of: dt.date) -> None:
    later = (rows.frame["date"] > pd.Timestamp(as_of)).to_numpy()
    if later.all():
        what = f"every day of the table lies after {as_of}, so nothing of it is known yet."
        rows.say("weather-future", "stop", what, "Check the years, or `as_of` under [season].")
    elif later.any():
        what = f"{counted(int(later.sum()), 'day')} after {as_of} (as_of) left out: not known yet."
        rows.say("weather-future", "note", what, "A forecast is no measurement; give what was measured.")
        rows.frame = rows.frame[~later].reset_index(drop=True)


def _check_pairs(rows: TableRows, max_bad_share: float) -> None:
    above = (rows.frame["tmin_degc"] > rows.frame["tmax_degc"]).to_numpy()
    if above.any() and above.mean() > _SWAPPED_SHARE:
        what = f"tmin is above tmax on {counted(int(above.sum()), 'day')} of {len(above):,}."
        rows.say("tmin-above-tmax", "stop", what, "The two look exchanged; check `columns`.")
        return
    fix = "Mend the cells: the lowest temperature of a day is not above its highest."
    rows.refuse_rows(above, "tmin-above-tmax", "tmin is above tmax", fix, max_bad_share)


def _drop_repeated(rows: TableRows, max_bad_share: float) -> None:
    repeated = rows.frame.duplicated(["station", "date"]).to_numpy()
    fix = "Keep one row for each station and day."
    rows.refuse_rows(repeated, "day-repeated", "the same day of a station again", fix, max_bad_share)


def _mind_gaps(days: pd.DataFrame, rows: TableRows) -> pd.DataFrame:
    """Fill gaps where the season says so, and say which stay open."""
    longest, parts, filled, open_gaps = rows.table.fill_gaps_days, [], 0, []
    for station, own in days.groupby("station", sort=False):
        every_day = pd.date_range(own["date"].min(), own["date"].max(), name="date")
        whole = own.set_index("date").reindex(every_day)
        missing = whole[["tmin_degc", "tmax_degc"]].isna().any(axis=1).to_numpy()
        run = np.cumsum(~missing)
        length = np.bincount(run, weights=missing)[run]
        fillable = missing & (length <= longest)
        for name in ("tmin_degc", "tmax_degc"):
            line = whole[name].interpolate(limit_area="inside")
            whole[name] = whole[name].where(~fillable, whole[name].fillna(line))
        filled += int(fillable.sum())
        still = whole.index[missing & ~fillable]
        if len(still):
            open_gaps.append(f"{len(still):,} at {station} (first {still[0]:%Y-%m-%d})")
        parts.append(whole.assign(station=station).reset_index())
    if filled:
        what = f"{counted(filled, 'missing day')} filled by a straight line between its neighbours."
        rows.say("weather-filled", "note", what, f"fill_gaps_days = {longest} says so; 0 leaves them open.")
    if open_gaps:
        what = f"days without temperatures: {listed(open_gaps, 3)}; a year with one gives no date after it."
        fix = "Find the days, or say how long a gap may be filled: fill_gaps_days = 3"
        rows.say("weather-gaps", "caution", what, fix)
    return pd.concat(parts, ignore_index=True)[list(days.columns)]
