"""What a picture of releases needs besides: district, what ended them, which visits say nothing."""

import geopandas as gpd
import numpy as np

from geo_scout.evidence.losses import Losses
from geo_scout.evidence.places import Places
from geo_scout.evidence.rates import districts_of
from geo_scout.evidence.signs import MISDATED, OF_THE_RELEASED, SPEAKS, Sightings


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
    ``lost_on`` holds ISO dates in their order, divided by semicolons: only those after the release. A release
    that such a day ended is lost, whatever was put or found there since.
    """
    ends: dict[str, list[tuple[str, str]]] = {}
    for place, day, what in zip(losses.place, losses.day, losses.what, strict=True):
        ends.setdefault(str(places.place_id[place]), []).append((f"{day}", str(what)))
    put = zip(releases["place_id"], releases["date"].dt.strftime("%Y-%m-%d"), strict=True)
    after = [sorted({end for end in ends.get(place, []) if end[0] > day}) for place, day in put]
    told = releases.assign(
        district=districts_of(releases, patches, boundaries),
        lost_on=["; ".join(dict.fromkeys(day for day, _ in each)) for each in after],
    )
    return _end(told, [each[0] if each else None for each in after])


def _end(releases: gpd.GeoDataFrame, ended: list[tuple[str, str] | None]) -> gpd.GeoDataFrame:
    """Return releases, those lost whose ground a day destroyed: their place may hold others by now."""
    is_lost = (
        np.array([end is not None for end in ended], dtype=bool) & (releases["state"] != "lost").to_numpy()
    )
    year = np.array([np.nan if end is None else float(end[0][:4]) for end in ended])
    words = ["" if end is None else f"lost ({end[0][:4]}): {end[1]}, {end[0]}." for end in ended]
    shares = ("presence_low_share", "presence_share", "presence_high_share")
    return releases.assign(
        state=np.where(is_lost, "lost", releases["state"]),
        state_year=np.where(is_lost, year, releases["state_year"]),
        state_words=np.where(is_lost, np.array(words, dtype=object), releases["state_words"]),
        **{name: np.where(is_lost, 0.0, releases[name]) for name in shares},
    )


def tell_silence(visits: gpd.GeoDataFrame, sightings: Sightings) -> gpd.GeoDataFrame:
    """Return visits with ``says_nothing``: why a visit changes nothing; "" where it does.

    A find counts though its method, its hours or the season of its sign would have made it unlikely.
    """
    found = visits["found"].to_numpy(dtype=bool)
    of_finds = np.select([sightings.is_misdated, sightings.is_too_young], [MISDATED, OF_THE_RELEASED], SPEAKS)
    return visits.assign(says_nothing=np.where(found, of_finds, sightings.silent))
