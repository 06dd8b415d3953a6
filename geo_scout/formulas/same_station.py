"""Whether two weather stations stand at one spot: the same one under another name."""

import numpy as np
from numpy.typing import ArrayLike

from geo_scout.formulas.geodesy import geodesic_km

# Coordinates are often rounded to a thousandth of a degree, 111 m; a metre of height is rounding. Our choice.
SAME_SPOT_KM = 0.1
SAME_ELEVATION_M = 1.0


def same_station(
    longitude_deg: float,
    latitude_deg: float,
    elevation_m: float,
    station_longitude_deg: ArrayLike,
    station_latitude_deg: ArrayLike,
    station_elevation_m: ArrayLike,
) -> int | None:
    """Return the first of some stations that stands at the same spot as another; None where none does.

    Parameters
    ----------
    longitude_deg, latitude_deg
        Position of the station in question; nan where nobody knows, and then it is like none [deg].
    elevation_m
        Its elevation; nan where nobody knows, which contradicts none [m].
    station_longitude_deg, station_latitude_deg
        (n,) positions of the others, nan where nobody knows [deg].
    station_elevation_m
        (n,) their elevations, nan where nobody knows [m].

    Notes
    -----
    The same spot is within 100 m and to a metre of the same height.

    Examples
    --------
    >>> same_station(-110.0, 47.0, 1000.0, [-110.2, -110.0005], [47.0, 47.0], [1000.0, 1000.0])
    1
    """
    others = (np.asarray(one, dtype=np.float64) for one in (station_longitude_deg, station_latitude_deg))
    east, north = others
    if not len(east):
        return None
    far_km = geodesic_km(np.full(len(east), longitude_deg), np.full(len(east), latitude_deg), east, north)
    higher_m = np.abs(np.asarray(station_elevation_m, dtype=np.float64) - elevation_m)
    alike = (far_km <= SAME_SPOT_KM) & ~(higher_m > SAME_ELEVATION_M)
    return int(alike.argmax()) if alike.any() else None
