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
class YearlyExtremes:
    """The coldest and the hottest day of a usual year at n places.

    Parameters
    ----------
    min_degc, max_degc
        (n,) mean over the years of the lowest minimum and the highest maximum; nan where nobody knows [degC].
    basis
        (n,) which station and how many years, for a reader; empty where nobody knows.
    """

    min_degc: FloatArray
    max_degc: FloatArray
    basis: Texts


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
    years
        (n,) years of daily weather the dates by heat rest on, 0 for normals; None without a heat window.
    heat_from
        Day of the season from which heat counts; None without a heat window.
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
    years: NDArray[np.int64] | None = None
    heat_from: dt.date | None = None


@dataclass(frozen=True)
class HeatTrace:
    """From temperatures to the dates of one place, for a reader who does it again.

    Parameters
    ----------
    station, station_elevation_m
        Whose daily weather; empty and nan where normals decide [m].
    higher_m
        How much higher the place is taken to be, with the cooling for it [m].
    cooler_tmin_degc, cooler_tmax_degc
        What is taken off the station's minima and maxima [degC].
    years
        Years of the record.
    days
        (4, years) day on which each sum is reached, in days after the start, 29 February left out; nan where
        it is not [days].
    middle
        (4,) their middle, or the day by normals [days].
    seen_until
        Last day of this season that was seen; None where none was.
    month_heat
        (12,) heat of each month by the normals, from the month of the start on; empty where years decide
        [degree-days of the profile's unit].
    spread_degc
        (12,) spread of daily means behind it, January first; empty where there is none [degC].
    example
        The day on which the window opened in the last of the years, with the sums before and after that day;
        None where there is none [degree-days of the profile's unit].
    """

    station: str
    station_elevation_m: float
    higher_m: float
    cooler_tmin_degc: float
    cooler_tmax_degc: float
    years: tuple[int, ...]
    days: FloatArray
    middle: FloatArray
    seen_until: dt.date | None
    month_heat: FloatArray
    spread_degc: FloatArray
    example: tuple[dt.date, float, float] | None


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
