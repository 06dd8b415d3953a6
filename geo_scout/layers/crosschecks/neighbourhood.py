"""Where the season is: the middle of the infestations and how far its records may lie from there."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.drafts import LayerDraft, Rows, geometries
from geo_scout.layers.places.reference_systems import WGS84

# Our choice: nine infestations in ten set the scale, one in ten may be wrong, and one of three or more;
# three times as far is far.
_SCALE_QUANTILE, _TIMES, LEAST_REACH_KM = 0.9, 3.0, 100.0
_EARTH_RADIUS_KM, _M_PER_KM = 6371.0, 1000.0
# The working plane is true in area, not in distance: beyond this share the sphere decides.
_SURE_SHARE = 0.9

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

    def far_rows(self, draft: LayerDraft) -> tuple[Rows, Degrees, Degrees, Degrees]:
        """Return which features lie beyond the reach, and of those longitude, latitude and distance.

        Parameters
        ----------
        draft
            A layer in the working system; the middle of a feature's bounds is its place.
        """
        assert draft.crs is not None
        to_degrees = transformer_between(draft.crs, WGS84)
        middle = np.array(to_degrees.transform(self.longitude_deg, self.latitude_deg, direction="INVERSE"))
        places = _middles(draft)
        gap_m = np.hypot(*(places - middle).T)
        # A chord of the plane is never longer than the arc above it, near its centre.
        chord_m = (
            2 * _EARTH_RADIUS_KM * np.sin(min(self.reach_km / 2 / _EARTH_RADIUS_KM, np.pi / 2)) * _M_PER_KM
        )
        rows = gap_m > _SURE_SHARE * chord_m
        longitude_deg, latitude_deg = (
            np.asarray(one) for one in to_degrees.transform(places[rows, 0], places[rows, 1])
        )
        distance_km = self.distance_km(longitude_deg, latitude_deg)
        is_far = distance_km > self.reach_km
        rows[rows] = is_far
        return rows, longitude_deg[is_far], latitude_deg[is_far], distance_km[is_far]


def neighbourhood_of(infestations: LayerDraft) -> Neighbourhood:
    """Return where the season is.

    Parameters
    ----------
    infestations
        The infestations, with rows, in the working system.

    Notes
    -----
    The middle is the median of eastings and northings; the reach is three times the distance within
    which nine of ten infestations lie, at least 100 km. Of fewer than ten the furthest is not counted, so
    that a single wrong one cannot hide itself.
    """
    assert infestations.crs is not None
    places = _middles(infestations)
    middle = np.median(places, axis=0)
    longitude_deg, latitude_deg = transformer_between(infestations.crs, WGS84).transform(*middle)
    gaps_m = np.hypot(*(places - middle).T)
    scale_km = float(np.quantile(gaps_m, _SCALE_QUANTILE, method="lower")) / _M_PER_KM
    reach_km = max(LEAST_REACH_KM, _TIMES * scale_km)
    return Neighbourhood(float(longitude_deg), float(latitude_deg), reach_km)


def _middles(draft: LayerDraft) -> NDArray[np.float64]:
    bounds = shapely.bounds(geometries(draft.frame)).reshape(-1, 4)
    return np.asarray((bounds[:, :2] + bounds[:, 2:]) / 2)
