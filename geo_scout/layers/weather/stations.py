"""The stations of a table: one position and elevation each."""

import numpy as np
import pandas as pd

from geo_scout.layers.weather.table_rows import TableRows
from geo_scout.layers.wording import listed
from geo_scout.model.weather import STATION_COLUMNS

# Coordinates of one station that differ by less are rounding. [deg], [m]
_SAME = {"longitude_deg": 1e-3, "latitude_deg": 1e-3, "elevation_m": 1.0}
ONE_STATION = "the station"


def name_stations(rows: TableRows) -> None:
    """Give rows without a station's name the only name there is."""
    blank = rows.frame["station"] == ""
    if "station" not in rows.given or blank.all():
        rows.frame["station"] = ONE_STATION
    elif blank.any():
        fix = "Name the station in every row."
        rows.refuse_rows(blank.to_numpy(), "blank-value", "station is blank", fix, 0.01)


def stations_of(rows: TableRows) -> pd.DataFrame:
    """Return station (index) x longitude, latitude and elevation; a stop where one has two places."""
    columns = list(STATION_COLUMNS)
    bad = (rows.frame["longitude_deg"].abs() > 360) | (rows.frame["latitude_deg"].abs() > 90)
    if bad.any():
        what = f"station {listed(list(rows.frame.loc[bad, 'station'].unique()), 3)} is at no place on Earth."
        rows.say("position-impossible", "stop", what, "Write longitude and latitude in decimal degrees.")
    grouped = rows.frame.groupby("station", sort=False)[columns]
    spread = grouped.max() - grouped.min()
    moving = [name for name in spread.index if any(spread.loc[name, key] > _SAME[key] for key in columns)]
    if moving:
        what = f"{listed(moving, 3)} stands at more than one place or elevation."
        fix = "Give a station that was moved a name of its own for each place."
        rows.say("station-moves", "stop", what, fix)
    places = grouped.first()
    if len(places) > 1 and places[["longitude_deg", "latitude_deg"]].isna().any(axis=None):
        without = list(places.index[places["longitude_deg"].isna() | places["latitude_deg"].isna()])
        what = f"there are {len(places)} stations, and nobody knows where {listed(without, 3)} is."
        rows.say("station-without-place", "stop", what, "Add the columns longitude_deg and latitude_deg.")
    return places.astype(np.float64)
