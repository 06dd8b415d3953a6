"""What a picture of releases needs besides: district, what ended them, which visits say nothing."""

import geopandas as gpd
import numpy as np

from geo_scout.evidence.losses import Losses
from geo_scout.evidence.places import Places
from geo_scout.evidence.rates import districts_of
from geo_scout.evidence.signs import Sightings


def tell_histories(
    releases: gpd.GeoDataFrame,
    patches: gpd.GeoDataFrame,
    boundaries: gpd.GeoDataFrame | None,
    places: Places,
    losses: Losses,
) -> gpd.GeoDataFrame:
    """Return releases with ``district`` ("" unmapped) and ``lost_on``, the days that ended their ground.

    Parameters
    ----------
    releases
        Releases of one agent with ``site_id`` and ``place_id``.
    patches
        Patches with ``site_id`` and ``district``.
    boundaries
        Polygons with ``district`` in the CRS of the patches.
    places, losses
        Where the agent may live, and what ended it there.

    Notes
    -----
    ``lost_on`` holds ISO dates in their order, divided by semicolons: only those on or after the release.
    """
    days: dict[str, list[str]] = {}
    for place, day in zip(losses.place, losses.day, strict=True):
        days.setdefault(str(places.place_id[place]), []).append(f"{day}")
    since = releases["date"].dt.strftime("%Y-%m-%d")
    return releases.assign(
        district=districts_of(releases, patches, boundaries),
        lost_on=[
            "; ".join(sorted({day for day in days.get(place, []) if day >= first}))
            for place, first in zip(releases["place_id"], since, strict=True)
        ],
    )


def tell_silence(visits: gpd.GeoDataFrame, sightings: Sightings) -> gpd.GeoDataFrame:
    """Return visits with ``says_nothing``: why one that found nothing changes nothing; "" where it does."""
    found = visits["found"].to_numpy(dtype=bool)
    return visits.assign(says_nothing=np.where(found, "", sightings.silent))
