"""Land the season forbids."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.rows import each_row


def exclude_forbidden_land(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites with more than ``max_forbidden_share`` of the patch on a forbidden class or its buffer."""
    limit, buffer_m = book.season.rules.max_forbidden_share, book.season.rules.buffer_m
    land = book.sites.land
    near = f" or within {buffer_m:g} m of it" if buffer_m else ""
    for row in each_row(land[(land["rule"] == "forbid") & (land["share"] > limit)]):
        yield book.exclude(
            row.site_id,
            "land-forbidden",
            f"{row.share:.1%} of the patch lies on {row.land_class}{near}; "
            f"your limit is {limit:.1%} (max_forbidden_share).",
            f'The rule "ask" for {row.land_class}, or max_forbidden_share of {row.share:.4f}, '
            "would bring it back.",
            measured=row.share,
            limit=limit,
            unit="share",
        )
