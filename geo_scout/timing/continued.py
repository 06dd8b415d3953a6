"""Weather that goes on where earlier weather of the same stations ends."""

import numpy as np
import pandas as pd

from geo_scout.formulas.same_station import same_station
from geo_scout.model.folded import folded
from geo_scout.model.weather import STATION_COLUMNS, DailyWeather


def continued_weather(earlier: DailyWeather | None, later: DailyWeather) -> DailyWeather:
    """Return later weather, with the earlier days of its stations before and between its own.

    Parameters
    ----------
    earlier
        What was known before, such as a season's own many years; None where there is none.
    later
        What is known now. Its days hold where both have one with temperatures.

    Notes
    -----
    Stations are the same where their names are; `known_names` finds those written otherwise. Stations that
    only the earlier weather has stay as they were; what later weather leaves open of a station's place is
    taken from the earlier.
    """
    if earlier is None:
        return later
    days = pd.concat([later.days, earlier.days], ignore_index=True)
    is_missing = days[["tmin_degc", "tmax_degc"]].isna().any(axis=1).to_numpy()
    days = days.iloc[np.argsort(is_missing, kind="stable")]
    days = days.drop_duplicates(["station", "date"]).sort_values(["station", "date"], kind="stable")
    stations = later.stations[list(STATION_COLUMNS)].combine_first(earlier.stations)
    order = list(dict.fromkeys([*earlier.stations.index, *later.stations.index]))
    return DailyWeather(stations.loc[order, list(STATION_COLUMNS)], days.reset_index(drop=True))


def named_like(earlier: DailyWeather | None, later: DailyWeather, unnamed: str) -> DailyWeather:
    """Return weather of one station without a name under the name of the only station known before.

    Parameters
    ----------
    earlier
        What was known before.
    later
        What is known now.
    unnamed
        The name that stands for none.
    """
    if earlier is None or len(earlier.stations) != 1 or list(later.stations.index) != [unnamed]:
        return later
    name = str(earlier.stations.index[0])
    return DailyWeather(later.stations.rename(index={unnamed: name}), later.days.assign(station=name))


def known_names(earlier: DailyWeather | None, later: DailyWeather) -> tuple[DailyWeather, dict[str, str]]:
    """Return later weather under the names that its stations had before, and which name became which.

    Parameters
    ----------
    earlier
        What was known before; None where there is none.
    later
        What is known now.

    Notes
    -----
    A station is one that was known where the names differ only in capitals and blanks, else where both stand
    within 100 m and to a metre of the same height. Of two later stations at one spot the first holds, day by
    day.
    """
    if earlier is None:
        return later, {}
    columns = list(STATION_COLUMNS)
    known, spelt = earlier.stations, {folded(str(name)): str(name) for name in earlier.stations.index}
    names: dict[str, str] = {}
    for name, place in zip(later.stations.index, later.stations[columns].to_numpy(np.float64), strict=True):
        found = str(name) if name in known.index else spelt.get(folded(str(name)))
        if found is None:
            same = same_station(*(float(one) for one in place), *known[columns].to_numpy(np.float64).T)
            found = None if same is None else str(known.index[same])
        if found is not None and found != name:
            names[str(name)] = found
    if not names:
        return later, {}
    is_other = later.days["station"].isin(list(names))
    days = pd.concat([later.days[~is_other], later.days[is_other].replace({"station": names})])
    days = days.drop_duplicates(["station", "date"]).sort_values(["station", "date"], kind="stable")
    stations = later.stations.rename(index=names)
    stations = stations[~stations.index.duplicated()]
    return DailyWeather(stations, days.reset_index(drop=True)), names


def strangers(earlier: DailyWeather | None, later: DailyWeather) -> list[str]:
    """Return the later stations that were not known before and stand nobody knows where."""
    known = set() if earlier is None else set(earlier.stations.index)
    unplaced = np.isnan(later.stations[["longitude_deg", "latitude_deg"]].to_numpy(np.float64)).any(axis=1)
    others = len(known | set(later.stations.index)) > 1
    return [str(name) for name in later.stations.index[unplaced] if name not in known and others]
