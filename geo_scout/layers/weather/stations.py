"""The stations of a table: one position and elevation each."""

import numpy as np
import pandas as pd

from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.model.folded import folded
from geo_scout.model.listed import listed
from geo_scout.model.weather import STATION_COLUMNS

# Coordinates of one station that differ by less are rounding. [deg], [m]
_SAME = {"longitude_deg": 1e-3, "latitude_deg": 1e-3, "elevation_m": 1.0}
ONE_STATION = "the station"


def name_stations(rows: TableRows) -> None:
    """Give rows without a station's name the only name there is, and each name its first spelling."""
    blank = rows.frame["station"] == ""
    if "station" not in rows.given or blank.all():
        rows.frame["station"] = ONE_STATION
    elif blank.any():
        fix = "Name the station in every row."
        rows.refuse_rows(blank.to_numpy(), "blank-value", "station is blank", fix, 0.01)
    _fold_names(rows)


def _fold_names(rows: TableRows) -> None:
    """Take names that differ only in capitals and blanks as one, and say so."""
    first: dict[str, str] = {}
    names = {name: first.setdefault(folded(name), name) for name in rows.frame["station"].unique()}
    others = [name for name, one in names.items() if name != one]
    if others:
        pairs = [f"'{name}' and '{names[name]}'" for name in others]
        what = f"{listed(pairs, 3)} are taken as one station."
        rows.say("station-twice", "note", what, "Write its name the same in every row.")
        rows.frame["station"] = rows.frame["station"].map(names)


def stations_of(rows: TableRows, *, on_map: bool = True) -> pd.DataFrame:
    """Return station (index) x longitude, latitude and elevation; a stop where one has two places.

    Parameters
    ----------
    rows
        The table, stations named.
    on_map
        Whether values are brought from the stations to sites: then several stations need a place each, and
        what is missing of a place is said.
    """
    columns = list(STATION_COLUMNS)
    bad = (rows.frame["longitude_deg"].abs() > 360) | (rows.frame["latitude_deg"].abs() > 90)
    if bad.any():
        what = f"station {listed(list(rows.frame.loc[bad, 'station'].unique()), 3)} is at no place on Earth."
        rows.say("position-impossible", "stop", what, "Write longitude and latitude in decimal degrees.")
    grouped = rows.frame.groupby("station", sort=False)[columns]
    spread = grouped.max() - grouped.min()
    moving = [name for name in spread.index if any(spread.loc[name, key] > _SAME[key] for key in columns)]
    if moving:
        verb = "stands" if len(moving) == 1 else "stand"
        what = f"{listed(moving, 3)} {verb} at more than one place or elevation."
        fix = "Give a station that was moved a name of its own for each place."
        rows.say("station-moves", "stop", what, fix)
    places = grouped.first().astype(np.float64)
    if on_map:
        _say_unplaced(rows, places)
    return places


def _say_unplaced(rows: TableRows, places: pd.DataFrame) -> None:
    unplaced = places.index[places[["longitude_deg", "latitude_deg"]].isna().any(axis=1)]
    fix = "Add the columns longitude_deg and latitude_deg."
    if len(unplaced) and len(places) > 1:
        verb = "is" if len(unplaced) == 1 else "are"
        what = f"there are {len(places)} stations, and nobody knows where {listed(list(unplaced), 3)} {verb}."
        rows.say("station-without-place", "stop", what, fix)
    elif len(unplaced):
        what = f"nobody knows where {unplaced[0]} is, so how far it is from the sites is not said."
        rows.say("station-without-place", "caution", what, fix)
    flat = list(places.index[places["elevation_m"].isna()])
    if flat:
        verb, their = ("stands", "its") if len(flat) == 1 else ("stand", "their")
        what = (
            f"nobody knows how high {listed(flat, 3)} {verb}: {their} temperatures are used as they are at "
            "every elevation."
        )
        fix = "Add the column elevation_m; temperatures are then brought to each site's elevation."
        rows.say("station-without-elevation", "caution", what, fix)
