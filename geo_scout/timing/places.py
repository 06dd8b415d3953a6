"""What is known of the temperatures at stations, or at a place of another elevation near each."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.temperatures import monthly_spread_degc
from geo_scout.model.lapse_rates import STANDARD_LAPSE_RULE
from geo_scout.model.site_windows import FloatArray, Temperatures
from geo_scout.model.weather import DailyWeather, StationNormals
from geo_scout.timing.stations import record_of


def at_stations(
    weather: DailyWeather | StationNormals,
    elevation_m: float | None = None,
    spread_degc: FloatArray | None = None,
) -> Temperatures:
    """Return the temperatures at the stations of a table, or at another elevation beside each.

    Parameters
    ----------
    weather
        Daily weather or monthly normals.
    elevation_m
        Elevation asked about, where it is not the stations' own; a station without one is taken as it is
        [m].
    spread_degc
        Standard deviation of daily means within each month, (12,), for normals [degC].
    """
    places = weather.stations
    own = places["elevation_m"].to_numpy(dtype=np.float64)
    here = own if elevation_m is None else np.full(len(own), elevation_m)
    tmin = tmax = np.full((12, len(own)), np.nan)
    basis, is_daily = "", isinstance(weather, DailyWeather)
    if isinstance(weather, StationNormals):
        tmin, tmax = normals_at(weather, np.arange(len(own)), here)
        basis = f"normals of {weather.period or 'an unknown period'}"
    return Temperatures(
        longitude_deg=places["longitude_deg"].to_numpy(dtype=np.float64),
        latitude_deg=places["latitude_deg"].to_numpy(dtype=np.float64),
        elevation_m=here,
        tmin_degc=tmin,
        tmax_degc=tmax,
        normals_basis=basis,
        spread_degc=spread_degc,
        spread_basis="as stated" if spread_degc is not None else "",
        weather=weather if isinstance(weather, DailyWeather) else None,
        station=np.arange(len(own)) if is_daily else None,
    )


def normals_at(
    normals: StationNormals,
    station: NDArray[np.intp],
    elevation_m: FloatArray,
    tmin_degc_per_km: float = STANDARD_LAPSE_RULE.default_tmin_degc_per_km,
    tmax_degc_per_km: float = STANDARD_LAPSE_RULE.default_tmax_degc_per_km,
) -> tuple[FloatArray, FloatArray]:
    """Return the normals of a station for each place, brought to the place's elevation.

    Parameters
    ----------
    normals
        The stations.
    station
        (n,) row of the station that stands for each place.
    elevation_m
        (n,) where it or the station's own is nan, the normals are taken as they are [m].
    tmin_degc_per_km, tmax_degc_per_km
        By how much it is colder for each km up [degC/km].

    Returns
    -------
    tuple of numpy.ndarray
        Minima and maxima, (12, n) each [degC].
    """
    own = normals.stations["elevation_m"].to_numpy(dtype=np.float64)[station]
    higher_km = np.nan_to_num((elevation_m - own) / 1000.0)
    tmin = normals.tmin_degc.to_numpy(dtype=np.float64)[station].T - tmin_degc_per_km * higher_km
    tmax = normals.tmax_degc.to_numpy(dtype=np.float64)[station].T - tmax_degc_per_km * higher_km
    # Two lapse rates can push a month without any range past itself.
    return np.minimum(tmin, tmax), np.maximum(tmin, tmax)


def spread_of(weather: DailyWeather) -> tuple[FloatArray | None, str]:
    """Return the spread of daily means within each month at the first station that has it, and its name."""
    for name in weather.stations.index:
        record = record_of(weather, str(name))
        spread = monthly_spread_degc(record.tmin_degc[:, None], record.tmax_degc[:, None], record.first_day)
        if np.isfinite(spread).all():
            return spread[:, 0], f"{record.name}, {record.years}"
    return None, ""
