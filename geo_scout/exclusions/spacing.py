"""Release sites too close to a better one on the same list."""

import pandas as pd
import shapely
from pyproj import CRS

from geo_scout.exclusions.book import SiteBook
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
    Walked down the list once: a site left out makes no room claims of its own. Distances are edge
    to edge. The limit concerns this list only, not past releases.
    """
    limit_km = book.season.rules.min_spacing_km
    if book.role != "release" or limit_km is None:
        return []
    crs = CRS(book.sites.patches.crs)
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
        close = [(rival, gap) for rival, gap in zip(rivals, gaps, strict=True) if gap < limit_km]
        if not close:
            kept.add(rank)
            continue
        rival, gap = close[0]
        excluded.append(
            book.exclude(
                site_id,
                "too-close",
                f"{gap:.3f} km from {best_first[rival]}, which ranks better; "
                f"your limit is {limit_km:g} km (min_spacing_km).",
                f"It comes back if {best_first[rival]} drops out, or with min_spacing_km of {gap:.3f} km.",
                measured=float(gap),
                limit=limit_km,
                unit="km",
            )
        )
    return excluded
