"""Patches sprayed, mown or grazed lately, or about to be."""

from collections.abc import Iterator

import pandas as pd

from geo_scout.exclusions.book import SiteBook
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.folded import folded
from geo_scout.model.rows import each_row


def exclude_treated(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites treated within ``treated_within_days`` before the clock, or planned to be from it on."""
    rules = book.season.rules
    as_of = pd.Timestamp(book.season.as_of)
    kinds = {folded(kind) for kind in rules.treatment_kinds}
    treatments = book.sites.treatments
    counts = treatments["kind"].map(folded).isin(kinds) & (treatments["share"] > rules.max_treated_share)
    for row in each_row(treatments[counts]):
        days_since = (as_of - row.end).days
        span = f"{row.start:%Y-%m-%d}" + ("" if row.end == row.start else f" to {row.end:%Y-%m-%d}")
        where = f"{row.kind} {row.treatment_id} on {row.share:.1%} of the patch"
        if row.end >= as_of:
            yield book.exclude(
                row.site_id,
                "treatment-planned",
                f"{where} is planned or under way: {span}.",
                "It comes back if the treatment is called off or moved off the patch.",
                measured=row.share,
                limit=rules.max_treated_share,
                unit="share",
            )
        elif days_since < rules.treated_within_days:
            yield book.exclude(
                row.site_id,
                "treated",
                f"{where}, {span}, ended {days_since} days before {as_of:%Y-%m-%d}; "
                f"your limit is {rules.treated_within_days} days (treated_within_days).",
                f"Lowering treated_within_days to {days_since} would bring it back.",
                measured=float(days_since),
                limit=float(rules.treated_within_days),
                unit="days",
            )
