"""What is known of the temperatures at stations, or at a place of another elevation near each."""

import numpy as np

from geo_scout.formulas.temperatures import monthly_spread_degc
from geo_scout.model.lapse_rates import STANDARD_LAPSE_RULE
from geo_scout.model.site_windows import FloatArray, Temperatures
from geo_scout.model.weather import DailyWeather, StationNormals
from geo_scout.timing.stations import record_of


def at_stations(
    weather: DailyWeather | StationNormals,
    elevation_m: float | None,
    spread_degc: FloatArray | None,
) -> Temperatures:
    """Return the temperatures at the stations of a table.

    Parameters
    ----------
    weather
        Daily weather or monthly normals.
    elevation_m
        Elevation asked about, where it is not the stations' own [m].
    spread_degc
        Standard deviation of daily means within each month, (12,), for normals [degC].
    """
    places = weather.stations
    own = places["elevation_m"].to_numpy(dtype=np.float64)
    here = own if elevation_m is None else np.full(len(own), elevation_m)
    empty = np.full((12, len(own)), np.nan)
    tmin, tmax, basis = empty, empty, ""
    if isinstance(weather, StationNormals):
        higher_km = np.nan_to_num((here - own) / 1000.0)
        tmin = weather.tmin_degc.to_numpy().T - STANDARD_LAPSE_RULE.default_tmin_degc_per_km * higher_km
        tmax = weather.tmax_degc.to_numpy().T - STANDARD_LAPSE_RULE.default_tmax_degc_per_km * higher_km
        tmin, tmax = np.minimum(tmin, tmax), np.maximum(tmin, tmax)
        basis = f"normals {weather.period}".strip() if weather.period else "normals of an unknown period"
    return Temperatures(
        places["longitude_deg"].to_numpy(dtype=np.float64),
        places["latitude_deg"].to_numpy(dtype=np.float64),
        here,
        tmin,
        tmax,
        basis,
        spread_degc,
        "as stated" if spread_degc is not None else "",
        weather if isinstance(weather, DailyWeather) else None,
    )


def spread_of(weather: DailyWeather) -> tuple[FloatArray | None, str]:
    """Return the spread of daily means within each month at the first station that has it, and its name."""
    for name in weather.stations.index:
        record = record_of(weather, str(name))
        spread = monthly_spread_degc(record.tmin_degc[:, None], record.tmax_degc[:, None], record.first_day)
        if np.isfinite(spread).all():
            return spread[:, 0], f"{record.name}, {record.years}"
    return None, ""
