"""Hours between sunrise and sunset."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

# The upper limb on the horizon: 16' of the sun's radius and 34' of refraction.
SUNRISE_ALTITUDE_DEG = -0.8333
_NOON_2000 = np.datetime64("2000-01-01", "D")


def daylength_hours(
    latitude_deg: ArrayLike,
    dates: ArrayLike,
    longitude_deg: ArrayLike = 0.0,
    sun_altitude_deg: float = SUNRISE_ALTITUDE_DEG,
) -> FloatArray:
    """Return how long the sun is up on a date.

    Parameters
    ----------
    latitude_deg
        Latitude, north positive, -90 to 90, broadcast against `dates` and `longitude_deg` [deg].
    dates
        ``datetime64`` dates.
    longitude_deg
        Longitude, east positive. It says when noon is: left at 0, daylength is off by up to half of its
        change in a day, under 4 minutes at 65 degrees of latitude near the equinoxes [deg].
    sun_altitude_deg
        Altitude of the sun's centre at sunrise and sunset: -0.8333 is the upper limb on the horizon with
        mean refraction, 0 the centre on a plain horizon, -6 civil twilight. It is the coefficient p of
        Forsythe et al. with the sign turned [deg].

    Returns
    -------
    numpy.ndarray
        Daylength, broadcast shape: 24 in the polar day, 0 in the polar night; nan where a place or a date
        is missing [hours].

    Raises
    ------
    ValueError
        If a latitude is beyond a pole.

    Notes
    -----
    2 H / 15 with cos H = (sin h - sin(latitude) sin(declination)) / (cos(latitude) cos(declination)), the
    declination that of local noon, good to 0.01 deg from 1950 to 2050. Mountains, the height of the
    observer and the weather are not in it.

    References
    ----------
    Michalsky, J.J. 1988. The Astronomical Almanac's algorithm for approximate solar position (1950-2050).
    Solar Energy 40:227-235. Forsythe, W.C. et al. 1995. A model comparison for daylength as a function of
    latitude and day of year. Ecological Modelling 80:87-95, for the choice of sunrise.

    Examples
    --------
    >>> days = np.array(["2026-03-20", "2026-06-21", "2026-12-21"], dtype="datetime64[D]")
    >>> daylength_hours(45.0, days).round(1).tolist(), daylength_hours(-80.0, days).round(1).tolist()
    ([12.2, 15.6, 8.8], [12.7, 0.0, 24.0])
    """
    latitude = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    if (np.abs(latitude) > np.pi / 2.0).any():
        message = "a latitude is beyond a pole; latitudes run from -90 to 90 degrees"
        raise ValueError(message)
    sin_declination = _sin_declination(np.asarray(dates, dtype="datetime64[D]"), longitude_deg)
    cos_declination = np.sqrt(1.0 - sin_declination**2)
    rise = np.sin(np.radians(sun_altitude_deg)) - np.sin(latitude) * sin_declination
    # At the poles the cosine is a hair above 0, so that the quotient is huge and has the right sign.
    cos_hour_angle = rise / np.maximum(np.cos(latitude) * cos_declination, 1e-15)
    return np.asarray(np.degrees(np.arccos(np.clip(cos_hour_angle, -1.0, 1.0))) * 2.0 / 15.0)


def _sin_declination(dates: NDArray[np.datetime64], longitude_deg: ArrayLike) -> FloatArray:
    """Return the sine of the sun's declination at local mean noon (Michalsky 1988)."""
    missing = np.isnat(dates)
    since = (np.where(missing, _NOON_2000, dates) - _NOON_2000).astype(np.float64)
    days = np.where(missing, np.nan, since) - np.asarray(longitude_deg, dtype=np.float64) / 360.0
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = 280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly)
    obliquity = np.radians(23.439 - 0.0000004 * days)
    return np.asarray(np.sin(obliquity) * np.sin(np.radians(longitude)))
