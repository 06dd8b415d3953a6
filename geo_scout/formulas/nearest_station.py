"""Which station stands for a place: the nearest one."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.geodesy import geodesic_km

FloatArray = NDArray[np.float64]


def nearest_station(
    longitude_deg: ArrayLike,
    latitude_deg: ArrayLike,
    station_longitude_deg: ArrayLike,
    station_latitude_deg: ArrayLike,
) -> tuple[NDArray[np.intp], FloatArray]:
    """Return the nearest station of each place, and how far it is.

    Parameters
    ----------
    longitude_deg, latitude_deg
        Places, (n,); nan where nobody knows [deg].
    station_longitude_deg, station_latitude_deg
        Stations, (m,), at least one; nan where nobody knows [deg].

    Returns
    -------
    tuple of numpy.ndarray
        (n,) row of the station, of equally near ones the first; (n,) geodesic distance, nan where the place
        or every station has no position, and then the first station is taken [km].

    Examples
    --------
    >>> row, far_km = nearest_station([-110.0, -111.0], [47.0, 47.0], [-112.0, -110.0], [47.0, 47.0])
    >>> row.tolist(), far_km.round(1).tolist()
    ([1, 0], [0.0, 76.1])
    """
    east, north = (np.atleast_1d(np.asarray(one, dtype=np.float64)) for one in (longitude_deg, latitude_deg))
    stations = (station_longitude_deg, station_latitude_deg)
    there = (np.asarray(one, dtype=np.float64)[:, None] for one in stations)
    far_km = geodesic_km(east[None, :], north[None, :], *there)
    row = np.asarray(np.where(np.isnan(far_km), np.inf, far_km).argmin(axis=0), dtype=np.intp)
    return row, np.asarray(far_km[row, np.arange(len(east))], dtype=np.float64)
