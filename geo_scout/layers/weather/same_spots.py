"""Stations of one table that stand at one spot: taken as one, and said."""

import pandas as pd

from geo_scout.formulas.same_station import same_station
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.model.listed import listed
from geo_scout.model.weather import STATION_COLUMNS


def join_spots(rows: TableRows, stations: pd.DataFrame) -> pd.DataFrame:
    """Return the stations, those at one spot taken as the first of them; a day that both have is the first's.

    Parameters
    ----------
    rows
        The table; its rows get the name of the first station at their spot.
    stations
        Station (index) x longitude, latitude and elevation.
    """
    kept: list[str] = []
    names: dict[str, str] = {}
    for name, place in zip(stations.index, stations[list(STATION_COLUMNS)].to_numpy(float), strict=True):
        others = stations.loc[kept, list(STATION_COLUMNS)].to_numpy(float).reshape(-1, len(STATION_COLUMNS))
        same = same_station(*(float(one) for one in place), *others.T)
        if same is None:
            kept.append(name)
        else:
            names[name] = kept[same]
    if not names:
        return stations
    pairs = [f"{name} and {first}" for name, first in names.items()]
    what = f"{listed(pairs, 3)} stand at one spot and are taken as one station, under the second name."
    fix = "If they are two, give each its own coordinates or elevation."
    rows.say("station-twice", "caution", what, fix)
    is_second = rows.frame["station"].isin(list(names))
    frame = rows.frame.assign(station=rows.frame["station"].replace(names))
    first_rows = frame[~is_second].set_index(["station", "date"]).index
    again = is_second & frame.set_index(["station", "date"]).index.isin(first_rows)
    frame = frame[~again.to_numpy()]
    rows.frame = frame[~frame.duplicated(["station", "date"])].reset_index(drop=True)
    return stations.loc[kept]
