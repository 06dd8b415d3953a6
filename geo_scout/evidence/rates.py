"""What share of an agent's releases established: by district, and of all."""

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.evidence.signs import BEST, Sightings
from geo_scout.formulas.outcome_rates import adjusted_rate, found_rate, rate_bounds
from geo_scout.model.outcome_rates import OutcomeRates

ALL, NOT_MAPPED = "", "not mapped"


def rate_outcomes(
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    sightings: Sightings,
) -> tuple[OutcomeRates, ...]:
    """Return the three rates of all releases, then of each district by name, ground outside them last.

    Parameters
    ----------
    releases
        Releases of one agent with ``release_id``, ``state`` and ``district`` ("" outside every district).
    visits
        Its visits with ``release_id`` and ``found``; a visit without a release says nothing of one.
    sightings
        What each visit could see.

    Notes
    -----
    A release counts as revisited when it was found, or visited when it could be seen; where no chance of
    finding is known, any visit counts. A find that may be of the agents just released does not, nor does a
    visit dated before its release. The adjusted rate reads only visits with a known chance, finds and
    failures alike: to count finds of unknown ways of looking without their failures would raise it. It takes
    the population as it was at its visits: who died out before them has not established.
    """
    told = _told_by_release(releases, visits, sightings)
    district = releases["district"].to_numpy(dtype=object)
    names = [ALL]
    if np.any(district != ""):
        names += sorted({str(name) for name in district if name})
        names += [NOT_MAPPED] if "" in district else []
    shown = np.where(district == "", NOT_MAPPED, district)
    every = np.ones(len(releases), dtype=bool)
    return tuple(_rates(name, told, every if name == ALL else shown == name) for name in names)


def districts_of(
    releases: gpd.GeoDataFrame, patches: gpd.GeoDataFrame, boundaries: gpd.GeoDataFrame | None
) -> NDArray[np.object_]:
    """Return the district of each release: that of its patch, else the one its point lies in, else "".

    Parameters
    ----------
    releases
        Releases with ``site_id`` in the CRS of the patches.
    patches
        Patches with ``site_id`` and ``district``.
    boundaries
        Polygons with ``district`` in the same CRS; where they overlap, the first wins.
    """
    of_patch = dict(zip(patches["site_id"], patches["district"], strict=True))
    found = np.array([of_patch.get(site_id, "") for site_id in releases["site_id"]], dtype=object)
    outside = np.flatnonzero(releases["site_id"].to_numpy(dtype=object) == "")
    if boundaries is None or boundaries.empty or not len(outside):
        return found
    points = releases.geometry.to_numpy()[outside]
    point, holder = shapely.STRtree(boundaries.geometry.to_numpy()).query(points, predicate="intersects")
    names = boundaries["district"].to_numpy(dtype=object)
    order = np.lexsort((holder, point))[::-1]  # the first district is written last
    found[outside[point[order]]] = names[holder[order]]
    return found


def _told_by_release(
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    sightings: Sightings,
) -> dict[str, NDArray[np.float64]]:
    """Return per release: whether too early, found, revisited, told by a known chance, and both likelihoods.

    The likelihoods are scaled to the larger of the two, so that many visits do not run out of digits.
    """
    ids = releases["release_id"].to_numpy(dtype=object)
    place = {release_id: row for row, release_id in reversed(list(enumerate(ids)))}
    row = np.array([place.get(release_id, -1) for release_id in visits["release_id"]], dtype=np.intp)
    found = visits["found"].to_numpy(dtype=bool)
    row[sightings.is_misdated | (found & sightings.is_too_young)] = -1
    found_share, wrong_share = sightings.found_share[:, BEST], sightings.wrong_share[:, BEST]
    is_known = ~np.isnan(found_share) & (found_share > 0)
    could_be_seen = found | ~(found_share == 0)
    false_share = np.minimum(np.nan_to_num(wrong_share), np.nan_to_num(found_share))
    with np.errstate(divide="ignore"):
        there = np.log(np.where(found, found_share, 1 - found_share))
        not_there = np.log(np.where(found, false_share, 1 - false_share))
    count = len(ids)
    told = {name: np.zeros(count) for name in ("found", "revisited", "known")}
    present, absent = np.zeros(count), np.zeros(count)
    np.maximum.at(told["found"], row[found & (row >= 0)], 1.0)
    np.maximum.at(told["revisited"], row[could_be_seen & (row >= 0)], 1.0)
    used = is_known & (row >= 0)
    np.maximum.at(told["known"], row[used], 1.0)
    np.add.at(present, row[used], there[used])
    np.add.at(absent, row[used], not_there[used])
    larger = np.maximum(present, absent)
    told["known"] *= np.isfinite(larger)  # a sure find after a sure failure fits neither
    too_early = (releases["state"] == "too early").to_numpy(dtype=float)
    with np.errstate(invalid="ignore"):
        chances = {"present": np.exp(present - larger), "absent": np.exp(absent - larger)}
    return {**told, **chances, "too_early": too_early}


def _rates(district: str, told: dict[str, NDArray[np.float64]], chosen: NDArray[np.bool_]) -> OutcomeRates:
    too_early = chosen & (told["too_early"] > 0)
    spoken_for = chosen & ~too_early
    revisited = spoken_for & (told["revisited"] > 0)
    found = int(np.sum(revisited & (told["found"] > 0)))
    known = revisited & (told["known"] > 0)
    count = int(revisited.sum())
    share, low, high = found_rate(found, count)
    adjusted, adjusted_low, adjusted_high = adjusted_rate(told["present"][known], told["absent"][known])
    least, most = rate_bounds(found, count, int(spoken_for.sum()) - count)
    return OutcomeRates(
        district=district,
        releases=int(chosen.sum()),
        too_early=int(too_early.sum()),
        revisited=count,
        found=found,
        found_share=share,
        found_low_share=low,
        found_high_share=high,
        adjusted_share=adjusted,
        adjusted_low_share=adjusted_low,
        adjusted_high_share=adjusted_high,
        least_share=least,
        most_share=most,
    )
