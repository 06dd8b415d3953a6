"""Ground whose manager said no."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.rows import each_row


def exclude_refused(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites where permission is refused; unknown permission goes on the call list instead."""
    patches = book.sites.patches
    for row in each_row(patches[patches["permission"] == "no"]):
        yield book.exclude(
            row.site_id,
            "permission-refused",
            "the manager refused permission.",
            "Permission in writing would bring it back.",
        )
