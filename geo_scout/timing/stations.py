"""Which station's weather stands for which place, and how it is brought to the place's elevation."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.elevation_correction import at_elevation
from geo_scout.formulas.nearest_station import nearest_station
from geo_scout.model.site_windows import FloatArray, Temperatures
from geo_scout.model.weather import DailyWeather

# A station's record of thirty years is 90 kB for each place; so many at once stay below 100 MB.
PLACES_AT_ONCE = 256


@dataclass(frozen=True)
class StationRecord:
    """The daily record of one station, day after day without a gap in the rows.

    Parameters
    ----------
    name
        The station.
    first_day
        Date of the first row.
    tmin_degc, tmax_degc
        (days,) nan where missing [degC].
    elevation_m
        nan where nobody knows [m].
    """

    name: str
    first_day: dt.date
    tmin_degc: FloatArray
    tmax_degc: FloatArray
    elevation_m: float

    @property
    def last_day(self) -> dt.date:
        """Date of the last row."""
        return self.first_day + dt.timedelta(days=len(self.tmin_degc) - 1)

    def place(self, temperatures: Temperatures, places: NDArray[np.intp]) -> str:
        """Return name and elevation, and how its weather is brought to places at another elevation."""
        if np.isnan(self.elevation_m):
            return self.name
        how = ""
        if temperatures.station is None or self.higher_m(temperatures.elevation_m[places]).any():
            rates = temperatures.tmin_degc_per_km, temperatures.tmax_degc_per_km
            how = ", tmin {:g} and tmax {:g} degC colder per km up".format(*rates)
        return f"{self.name} ({self.elevation_m:.0f} m{how})"

    @property
    def years(self) -> str:
        """First and last year, as a reader writes them."""
        first, last = self.first_day.year, self.last_day.year
        return f"{first}" if first == last else f"{first}-{last}"

    def at(
        self, elevation_m: FloatArray, tmin_degc_per_km: float, tmax_degc_per_km: float
    ) -> tuple[FloatArray, FloatArray]:
        """Return daily minima and maxima at places of other elevations.

        Parameters
        ----------
        elevation_m
            (n,) nan where nobody knows: the record is then taken as it is [m].
        tmin_degc_per_km, tmax_degc_per_km
            By how much it is colder for each km up [degC/km].

        Returns
        -------
        tuple of numpy.ndarray
            (days, n) each [degC].
        """
        return at_elevation(
            self.tmin_degc[:, None],
            self.tmax_degc[:, None],
            self.higher_m(elevation_m),
            tmin_degc_per_km,
            tmax_degc_per_km,
        )

    def higher_m(self, elevation_m: FloatArray) -> FloatArray:
        """Return how much higher places lie, to the whole metre (half of one is 0.003 degC), else 0 [m]."""
        return np.asarray(np.round(np.nan_to_num(elevation_m - self.elevation_m)), dtype=np.float64)

    def at_places(
        self, temperatures: Temperatures, places: NDArray[np.intp]
    ) -> tuple[FloatArray, FloatArray]:
        """Return daily minima and maxima at some of the places asked about, (days, k) each [degC]."""
        return self.at(
            temperatures.elevation_m[places], temperatures.tmin_degc_per_km, temperatures.tmax_degc_per_km
        )


def station_groups(
    temperatures: Temperatures,
) -> Sequence[tuple[NDArray[np.intp], StationRecord | None, FloatArray]]:
    """Return the places of each station, its record, and how far off it is; all places without weather.

    Returns
    -------
    sequence of tuple
        (k,) places; the record of their station, None where there is no daily weather; (k,) distance, nan
        where a position is not known [km].
    """
    everywhere = np.arange(len(temperatures), dtype=np.intp)
    if temperatures.weather is None:
        return [(everywhere, None, np.full(len(temperatures), np.nan))]
    if temperatures.station is None:
        stations = temperatures.weather.stations
        row, far_km = nearest_station(
            temperatures.longitude_deg,
            temperatures.latitude_deg,
            stations["longitude_deg"].to_numpy(dtype=np.float64),
            stations["latitude_deg"].to_numpy(dtype=np.float64),
        )
    else:
        row, far_km = temperatures.station, np.full(len(temperatures), np.nan)
    return [
        (places, record_of(temperatures.weather, str(name)), far_km[places])
        for number, name in enumerate(temperatures.weather.stations.index)
        if len(places := everywhere[row == number])
    ]


def stations_used(temperatures: Temperatures) -> list[tuple[str, dt.date, int]]:
    """Return the stations that stand for any place, the last day of each, and for how many places."""
    return [
        (record.name, record.last_day, len(places))
        for places, record, _ in station_groups(temperatures)
        if record is not None
    ]


def record_of(weather: DailyWeather, name: str) -> StationRecord:
    """Return the daily record of one station, from its first to its last day with both temperatures.

    Raises
    ------
    ValueError
        If the station has no such day; `DailyWeather` holds none like that.
    """
    days = weather.of(name).dropna(subset=["tmin_degc", "tmax_degc"])
    if days.empty:
        message = f"{name!r} has no day with both temperatures"
        raise ValueError(message)
    dates = np.asarray(days.index.to_numpy(), dtype="datetime64[D]")
    row = (dates - dates[0]).astype(np.int64)
    tmin, tmax = np.full(row[-1] + 1, np.nan), np.full(row[-1] + 1, np.nan)
    tmin[row], tmax[row] = days["tmin_degc"].to_numpy(), days["tmax_degc"].to_numpy()
    elevation_m = weather.stations["elevation_m"].to_numpy(dtype=np.float64)
    number = list(weather.stations.index).index(name)
    return StationRecord(name, dates[0].item(), tmin, tmax, float(elevation_m[number]))
