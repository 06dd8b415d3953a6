"""Patches too steep for a crew on foot."""

from collections.abc import Iterator

import pandas as pd

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_above
from geo_scout.model.exclusion import Exclusion

# Below this share without a slope, a printed whole percentage is the whole patch.
_WHOLE_SHARE = 0.995


def exclude_too_steep(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites with more than ``max_steep_share`` of their ground steeper than ``max_slope_deg``.

    Ground without a slope, at a gap or the edge of the raster, counts neither way.
    """
    rules = book.season.rules
    if rules.max_slope_deg is None or "steep_share" not in book.climate:
        return
    table = pd.DataFrame(
        {
            "site_id": book.sites.site_ids,
            "steep": book.climate["steep_share"],
            "known": book.raster_share["slope"],
        }
    )
    for site_id, steep, known in table[table["steep"] > rules.max_steep_share].itertuples(index=False):
        ground = "the patch" if known >= _WHOLE_SHARE else f"the {known:.0%} of the patch that has a slope"
        yield book.exclude(
            site_id,
            "too-steep",
            f"{steep:.1%} of {ground} is steeper than {rules.max_slope_deg:g} deg (max_slope_deg); "
            f"your limit is {100 * rules.max_steep_share:g}% (max_steep_share).",
            f"max_steep_share of {just_above(steep, 4):.4f}, or a larger max_slope_deg, would bring it back.",
            measured=float(steep),
            limit=rules.max_steep_share,
            unit="share",
        )
