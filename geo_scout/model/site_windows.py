"""Window dates at sites, and the temperatures they come from."""

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.lapse_rates import STANDARD_LAPSE_RULE
from geo_scout.model.weather import DailyWeather

FloatArray = NDArray[np.float64]
Dates = NDArray[np.datetime64]
Texts = NDArray[np.object_]


@dataclass(frozen=True)
class Temperatures:
    """What is known of the temperatures at n places.

    Parameters
    ----------
    longitude_deg, latitude_deg, elevation_m
        (n,) where the places are; nan where nobody knows [deg], [m].
    tmin_degc, tmax_degc
        (12, n) monthly normals at the places' own elevation; nan where there are none [degC].
    normals_basis
        What the normals are, with their period, for a reader; empty where there are none.
    spread_degc
        (12,) standard deviation of daily mean temperature within each month, None where nobody knows [degC].
    spread_basis
        Where that comes from.
    weather
        Daily weather of stations; None where there is none.
    tmin_degc_per_km, tmax_degc_per_km
        By how much it is colder for each km up, with which a station's weather is brought to a place
        [degC/km].
    station
        (n,) row in ``weather.stations`` of the station that stands for each place; None for the nearest.
    """

    longitude_deg: FloatArray
    latitude_deg: FloatArray
    elevation_m: FloatArray
    tmin_degc: FloatArray
    tmax_degc: FloatArray
    normals_basis: str = ""
    spread_degc: FloatArray | None = None
    spread_basis: str = ""
    weather: DailyWeather | None = None
    tmin_degc_per_km: float = STANDARD_LAPSE_RULE.default_tmin_degc_per_km
    tmax_degc_per_km: float = STANDARD_LAPSE_RULE.default_tmax_degc_per_km
    station: NDArray[np.intp] | None = None

    def __len__(self) -> int:
        """Return the number of places."""
        return len(self.elevation_m)


@dataclass(frozen=True)
class SiteWindows:
    """Windows at n places, for one agent and one use: collecting or receiving.

    Parameters
    ----------
    kind
        (n,) "degree-days", "calendar", "host stage" or "unknown".
    dates
        (4, n) dates of ``window.MOMENTS``; NaT where one does not come or nobody knows.
    opens_early, opens_late
        (n,) opening in one year of ten, and in nine of ten; NaT without ten years of daily weather.
    cool_shift_days, warm_shift_days
        (n,) days by which the opening moves if the season runs 1 degC cool or warm; nan for windows that do
        not follow the heat [days].
    basis
        (n,) what the dates come from.
    note
        (n,) what a reader must know besides; empty where there is nothing.
    words
        What is to be seen at each of ``window.MOMENTS``, where the profile says so.
    """

    kind: Texts
    dates: Dates
    opens_early: Dates
    opens_late: Dates
    cool_shift_days: FloatArray
    warm_shift_days: FloatArray
    basis: Texts
    note: Texts
    words: tuple[str, str, str, str] = ("", "", "", "")


@dataclass(frozen=True)
class YearlyDates:
    """The dates of a window at one place in each year of a record.

    Parameters
    ----------
    years
        Years in which heat begins to count.
    dates
        (4, years) dates of ``window.MOMENTS``; NaT where one does not come or nobody knows.
    """

    years: tuple[int, ...]
    dates: Dates


@dataclass(frozen=True)
class Weeks:
    """What each window does in two weeks.

    Parameters
    ----------
    monday
        First day of this week.
    this_week, next_week
        (n,) in words: "opens 2 June", "open", "closes", "scout", "" for nothing.
    """

    monday: dt.date
    this_week: Texts
    next_week: Texts
