"""Release sites too close to a better one on the same list."""

from collections import defaultdict
from collections.abc import Mapping

import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_below
from geo_scout.formulas.geodesy import edge_distance_km
from geo_scout.model.exclusion import Exclusion

SITES_AT_ONCE = 256
"""Sites measured in one go against those kept so far; enough that calls cost little."""


def exclude_too_close(book: SiteBook, best_first: list[str]) -> list[Exclusion]:
    """Return the sites that lie within ``min_spacing_km`` of a better-placed site that stays.

    Parameters
    ----------
    book
        The ranking's book.
    best_first
        Sites that no other limit leaves out, best first.

    Notes
    -----
    Walked down the list once: a site left out makes no room claims of its own, so a larger limit can
    leave out a site that stood in the way of another. Distances are edge to edge. The limit concerns
    this list only, not past releases; sites with the purpose ``supplement`` neither keep it nor claim it.
    Only sites that were kept, which are never crowded, and those of the same block are measured against.
    """
    limit_km = book.season.rules.min_spacing_km
    if book.role != "release" or limit_km is None:
        return []
    crs = CRS(book.sites.patches.crs)
    occupied = book.evidence.sites
    aside = set(occupied.loc[occupied["purpose"] == "supplement", "site_id"])
    best_first = [site_id for site_id in best_first if site_id not in aside]
    shape_of = pd.Series(book.sites.patches.geometry.to_numpy(), index=book.sites.site_ids)
    shapes = shape_of.loc[best_first].to_numpy()
    kept: list[int] = []
    excluded = []
    for start in range(0, len(shapes), SITES_AT_ONCE):
        block = np.arange(start, min(start + SITES_AT_ONCE, len(shapes)))
        gaps = _gaps_km(shapes, block, np.concatenate([np.array(kept, dtype=np.intp), block]), crs, limit_km)
        still_there = set(kept)
        for rank in block.tolist():
            close = [(gap, best_first[one]) for one, gap in gaps[rank] if one in still_there]
            if close:
                excluded.append(_too_close(book, best_first[rank], limit_km, close))
            else:
                kept.append(rank)
                still_there.add(rank)
    return excluded


def _gaps_km(
    shapes: NDArray[np.object_], block: NDArray[np.intp], rivals: NDArray[np.intp], crs: CRS, limit_km: float
) -> Mapping[int, list[tuple[int, float]]]:
    """Return, for each site of a block, the better-placed rivals closer than the limit, best first [km]."""
    # The plane stretches distances by far less than one percent over a season's area.
    query = shapely.STRtree(shapes[rivals]).query
    one, near = query(shapes[block], predicate="dwithin", distance=limit_km * 1010)
    site, rival = block[one], rivals[near]
    order = np.lexsort((rival, site))
    order = order[rival[order] < site[order]]
    site, rival = site[order], rival[order]
    gap_km = edge_distance_km(shapes[site], shapes[rival], crs)
    close: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for one_site, one_rival, gap in zip(site.tolist(), rival.tolist(), gap_km.tolist(), strict=True):
        if gap < limit_km:
            close[one_site].append((one_rival, gap))
    return close


def _too_close(book: SiteBook, site_id: str, limit_km: float, close: list[tuple[float, str]]) -> Exclusion:
    """Return the exclusion of a site with its gaps [km] to better sites, best first."""
    gap_km, nearest = min(close)
    back_km = just_below(gap_km, 3)
    rivals = " and ".join(rival for _, rival in close)
    drop = "drops" if len(close) == 1 else "drop"
    spacing = f", or with min_spacing_km of {back_km:.3f} km among the sites now on the list"
    return book.exclude(
        site_id,
        "too-close",
        f"{gap_km:.3f} km from {nearest}, which ranks better; "
        f"your limit is {limit_km:g} km (min_spacing_km).",
        f"It comes back if {rivals} {drop} out{spacing if back_km else ''}.",
        measured=gap_km,
        limit=limit_km,
        unit="km",
    )
