"""Weather whose heat can be done in the head, for tests of windows.

With the same temperature all day, a day has temperature - base degree-days by every method.
"""

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pandas as pd

from geo_scout.model.site_windows import Temperatures
from geo_scout.model.timing import HeatWindow, WindowTable
from geo_scout.model.weather import DailyWeather, StationNormals

Place = tuple[float, float, float]
HERE: Place = (-110.0, 47.0, 1000.0)


def steady(temperature_degc: float) -> Callable[[dt.date], float]:
    """Return a temperature that never changes."""
    return lambda _: temperature_degc


def from_day(start: str, temperature_degc: float, before_degc: float = 0.0) -> Callable[[dt.date], float]:
    """Return a temperature that is low until a month and day, and high from it to the year's end."""
    return lambda day: temperature_degc if f"{day:%m-%d}" >= start else before_degc


def weather(
    stations: Mapping[str, Callable[[dt.date], float]],
    first: str,
    last: str,
    *,
    without: tuple[str, ...] = (),
    places: Mapping[str, Place] | None = None,
) -> DailyWeather:
    """Return daily weather with both extremes at each station's temperature, days left out where asked."""
    dates = [day for day in pd.date_range(first, last).date if str(day) not in without]
    parts = [
        pd.DataFrame(
            {
                "station": name,
                "date": np.array(dates, dtype="datetime64[s]"),
                "tmin_degc": [at(day) for day in dates],
                "tmax_degc": [at(day) for day in dates],
                "precipitation_mm": np.nan,
            }
        )
        for name, at in stations.items()
    ]
    rows = [(places or {}).get(name, HERE) for name in stations]
    table = pd.DataFrame(rows, index=list(stations), columns=["longitude_deg", "latitude_deg", "elevation_m"])
    return DailyWeather(table, pd.concat(parts, ignore_index=True))


def temperatures(
    daily: DailyWeather | None = None,
    *,
    elevation_m: tuple[float, ...] = (1000.0,),
    normals_degc: float = np.nan,
    **given: Any,
) -> Temperatures:
    """Return what is known at places beside the station, with the same normals in every month."""
    count = len(elevation_m)
    months = np.full((12, count), normals_degc)
    return Temperatures(
        longitude_deg=np.full(count, HERE[0]),
        latitude_deg=np.full(count, HERE[1]),
        elevation_m=np.array(elevation_m),
        tmin_degc=months,
        tmax_degc=months,
        normals_basis="" if np.isnan(normals_degc) else "normals 1991-2020",
        weather=daily,
        **given,
    )


def heat(start: str = "01-01", base: float = 10.0, unit: str = "degc", **sums: float) -> HeatWindow:
    """Return a heat window by single sine."""
    return HeatWindow.model_validate(
        {
            "unit": unit,
            "base": {"value": base, "source": "invented"},
            "method": "single_sine",
            "start": start,
            "sums": {name: {"value": value, "source": "invented"} for name, value in sums.items()},
        }
    )


def by_heat(start: str = "01-01", **sums: float) -> WindowTable:
    """Return a window by heat alone."""
    return WindowTable(heat=heat(start, **sums))


def normals(months: Mapping[int, tuple[float, float]] | None = None, **places: Place) -> StationNormals:
    """Return normals, 10 and 20 degC in every month unless told."""
    names = list(places) or ["the station"]
    rows = [places.get(name, HERE) for name in names]
    stations = pd.DataFrame(rows, index=names, columns=["longitude_deg", "latitude_deg", "elevation_m"])
    pairs = [(months or {}).get(month, (10.0, 20.0)) for month in range(1, 13)]
    low = pd.DataFrame([[pair[0] for pair in pairs]] * len(names), index=names, columns=range(1, 13))
    high = pd.DataFrame([[pair[1] for pair in pairs]] * len(names), index=names, columns=range(1, 13))
    return StationNormals(stations, low, high, low * np.nan, "1991-2020")
