"""What is known of the temperatures at stations, or at a place of another elevation near each."""

import numpy as np

from geo_scout.formulas.elevation_correction import at_elevation
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
        low, high = (one.to_numpy(dtype=np.float64).T for one in (weather.tmin_degc, weather.tmax_degc))
        tmin, tmax = at_elevation(low, high, here - own)
        basis = f"normals of {weather.period or 'an unknown period'}{_brought(here - own)}"
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


def _brought(higher_m: FloatArray) -> str:
    """Say how temperatures are brought to another elevation; empty where they are not."""
    if not np.nan_to_num(higher_m).any():
        return ""
    rule = STANDARD_LAPSE_RULE
    rates = rule.default_tmin_degc_per_km, rule.default_tmax_degc_per_km
    return ", tmin {:g} and tmax {:g} degC colder per km up".format(*rates)


def spread_of(weather: DailyWeather) -> tuple[FloatArray | None, str]:
    """Return the spread of daily means within each month at the first station that has it, and its name."""
    for name in weather.stations.index:
        record = record_of(weather, str(name))
        spread = monthly_spread_degc(record.tmin_degc[:, None], record.tmax_degc[:, None], record.first_day)
        if np.isfinite(spread).all():
            return spread[:, 0], f"{record.name}, {record.years}"
    return None, ""
