"""Weather that goes on where earlier weather of the same stations ends."""

import numpy as np
import pandas as pd

from geo_scout.model.weather import STATION_COLUMNS, DailyWeather


def continued_weather(earlier: DailyWeather | None, later: DailyWeather) -> DailyWeather:
    """Return later weather, with the earlier days of its stations before and between its own.

    Parameters
    ----------
    earlier
        What was known before, such as a season's own many years; None where there is none.
    later
        What is known now. Its days hold where both have one.

    Notes
    -----
    Stations are the same where their names are. Stations that only the earlier weather has stay as they
    were; what later weather leaves open of a station's place is taken from the earlier.
    """
    if earlier is None:
        return later
    days = pd.concat([later.days, earlier.days], ignore_index=True)
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


def strangers(earlier: DailyWeather | None, later: DailyWeather) -> list[str]:
    """Return the later stations that were not known before and stand nobody knows where."""
    known = set() if earlier is None else set(earlier.stations.index)
    unplaced = np.isnan(later.stations[["longitude_deg", "latitude_deg"]].to_numpy(np.float64)).any(axis=1)
    others = len(known | set(later.stations.index)) > 1
    return [str(name) for name in later.stations.index[unplaced] if name not in known and others]
