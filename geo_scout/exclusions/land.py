"""Land the season forbids."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_above
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.rows import each_row


def exclude_forbidden_land(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites with more than ``max_forbidden_share`` of the patch on forbidden classes or their buffer.

    Ground on two forbidden classes counts once.
    """
    limit, buffer_m = book.season.rules.max_forbidden_share, book.season.rules.buffer_m
    land = book.sites.land[book.sites.land["rule"] == "forbid"]
    classes_of = land.groupby("site_id")["land_class"].agg(" and ".join)
    patches = book.sites.patches
    for row in each_row(patches[patches["forbidden_land_share"] > limit]):
        classes, share = classes_of[row.site_id], row.forbidden_land_share
        near = f" or within {buffer_m:g} m of it" if buffer_m else ""
        yield book.exclude(
            row.site_id,
            "land-forbidden",
            f"{share:.1%} of the patch lies on {classes}{near}; "
            f"your limit is {100 * limit:g}% (max_forbidden_share).",
            f'The rule "ask" for {classes}, or max_forbidden_share of {just_above(share, 4):.4f}, '
            "would bring it back.",
            measured=share,
            limit=limit,
            unit="share",
        )
