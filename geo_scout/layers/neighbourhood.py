"""Where the season is: the middle of the infestations and how far its records may lie from there."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer

from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.layers.reference_systems import WGS84

# Our choice: nine infestations in ten set the scale, so that one in ten may be wrong; three times as far is far.
_SCALE_QUANTILE, _TIMES, LEAST_REACH_KM = 0.9, 3.0, 100.0
_EARTH_RADIUS_KM = 6371.0

Degrees = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Neighbourhood:
    """A circle on the Earth.

    Parameters
    ----------
    longitude_deg, latitude_deg
        Its middle [deg].
    reach_km
        Its radius [km].
    """

    longitude_deg: float
    latitude_deg: float
    reach_km: float

    def distance_km(self, longitude_deg: Degrees, latitude_deg: Degrees) -> Degrees:
        """Return the distance of places from the middle, on a sphere [km]."""
        east = np.radians(longitude_deg - self.longitude_deg)
        here, there = np.radians(self.latitude_deg), np.radians(latitude_deg)
        chord = np.sin((there - here) / 2) ** 2 + np.cos(here) * np.cos(there) * np.sin(east / 2) ** 2
        return np.asarray(2.0 * _EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.clip(chord, 0.0, 1.0))))


def neighbourhood_of(infestations: LayerDraft) -> Neighbourhood:
    """Return where the season is.

    Parameters
    ----------
    infestations
        The infestations, with rows, in the working system.

    Notes
    -----
    The middle is the median of eastings and northings; the reach is three times the distance within
    which nine of ten infestations lie, at least 100 km.
    """
    assert infestations.crs is not None
    middle = np.median(_middles(infestations), axis=0)
    to_degrees = Transformer.from_crs(infestations.crs, WGS84, always_xy=True)
    longitude_deg, latitude_deg = to_degrees.transform(*middle)
    around = Neighbourhood(float(longitude_deg), float(latitude_deg), LEAST_REACH_KM)
    scale_km = float(np.quantile(around.distance_km(*middles_deg(infestations)), _SCALE_QUANTILE))
    reach_km = max(LEAST_REACH_KM, _TIMES * scale_km)
    return Neighbourhood(around.longitude_deg, around.latitude_deg, reach_km)


def middles_deg(draft: LayerDraft) -> tuple[Degrees, Degrees]:
    """Return longitude and latitude of the middle of each feature's bounds [deg]."""
    assert draft.crs is not None
    middles = _middles(draft)
    to_degrees = Transformer.from_crs(draft.crs, WGS84, always_xy=True)
    longitude_deg, latitude_deg = to_degrees.transform(middles[:, 0], middles[:, 1])
    return np.asarray(longitude_deg), np.asarray(latitude_deg)


def _middles(draft: LayerDraft) -> NDArray[np.float64]:
    bounds = shapely.bounds(geometries(draft.frame)).reshape(-1, 4)
    return np.asarray((bounds[:, :2] + bounds[:, 2:]) / 2)
