"""Temperatures measured at stations: by day, as monthly normals, and year by year."""

import datetime as dt
from dataclasses import dataclass, field

import pandas as pd

STATION_COLUMNS = ("longitude_deg", "latitude_deg", "elevation_m")
MONTHS = range(1, 13)


@dataclass(frozen=True)
class DailyWeather:
    """Daily temperatures of one or more stations.

    Parameters
    ----------
    stations
        Station (index) x ``longitude_deg``, ``latitude_deg``, ``elevation_m``; nan where the table says
        nothing.
    days
        ``station``, ``date`` (datetime64), ``tmin_degc``, ``tmax_degc``, ``precipitation_mm``; one row per
        station and day, sorted; nan where missing. Days that the table leaves out have no row.
    """

    stations: pd.DataFrame
    days: pd.DataFrame

    def of(self, station: str) -> pd.DataFrame:
        """Return the days of one station, indexed by date."""
        return self.days[self.days["station"] == station].set_index("date").drop(columns="station")

    @property
    def last_day(self) -> dt.date:
        """Last day on which any station has both temperatures."""
        known = self.days.dropna(subset=["tmin_degc", "tmax_degc"])
        last: dt.date = known["date"].max().date()
        return last

    def years(self, station: str) -> tuple[int, int]:
        """Return the first and the last year of one station."""
        dates = self.days.loc[self.days["station"] == station, "date"]
        return int(dates.iloc[0].year), int(dates.iloc[-1].year)


@dataclass(frozen=True)
class StationNormals:
    """Monthly normals of one or more stations.

    Parameters
    ----------
    stations
        Station (index) x ``longitude_deg``, ``latitude_deg``, ``elevation_m``.
    tmin_degc, tmax_degc, precipitation_mm
        Station (index) x month 1 to 12; nan where missing.
    period
        Years the normals are the mean of, as stated; empty where nobody said.
    """

    stations: pd.DataFrame
    tmin_degc: pd.DataFrame
    tmax_degc: pd.DataFrame
    precipitation_mm: pd.DataFrame
    period: str = ""


@dataclass(frozen=True)
class YearlyClimate:
    """Climate of single years, by months or as ready variables, for places that hold a population.

    Parameters
    ----------
    months
        ``place``, ``year``, ``month``, ``tmin_degc``, ``tmax_degc``, ``precipitation_mm``; one row each,
        sorted; no row where variables are given.
    variables
        ``place``, ``year`` and any of ``bio01`` to ``bio19``; one row each, sorted; empty where months are
        given.
    """

    months: pd.DataFrame
    variables: pd.DataFrame = field(default_factory=pd.DataFrame)

    def places(self) -> list[str]:
        """Return the places, each once, in the order of the table."""
        return list(dict.fromkeys((self.months if self.variables.empty else self.variables)["place"]))
