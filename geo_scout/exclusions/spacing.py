"""Release sites too close to a better one on the same list."""

import pandas as pd
import shapely
from pyproj import CRS

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_below
from geo_scout.formulas.geodesy import edge_distance_km
from geo_scout.model.exclusion import Exclusion


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
    tree = shapely.STRtree(shapes)
    kept: set[int] = set()
    excluded = []
    for rank, site_id in enumerate(best_first):
        # The plane stretches distances by far less than one percent over a season's area.
        near = tree.query(shapes[rank], predicate="dwithin", distance=limit_km * 1010)
        rivals = sorted(kept.intersection(near.tolist()))
        gaps = edge_distance_km([shapes[rank]] * len(rivals), shapes[rivals], crs)
        close = [
            (float(gap), best_first[one]) for one, gap in zip(rivals, gaps, strict=True) if gap < limit_km
        ]
        if close:
            excluded.append(_too_close(book, site_id, limit_km, close))
        else:
            kept.add(rank)
    return excluded


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
