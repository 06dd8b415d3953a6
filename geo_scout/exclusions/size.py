"""Patches too small to hold the agent or to be worth a day."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_below
from geo_scout.model.exclusion import Exclusion


def exclude_too_small(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites without host or below ``min_infested_ha``; unknown cover counts as the most it can be."""
    limit_ha = book.season.rules.min_infested_ha
    patches = book.sites.patches
    area_ha = patches["infested_ha"].fillna(patches["infested_high_ha"])
    for site_id, infested_ha in zip(patches["site_id"], area_ha, strict=True):
        if infested_ha == 0.0:
            what = "the survey found no host here: 0 ha infested."
            yield book.exclude(site_id, "no-host", what, "A survey that finds the host would bring it back.")
        elif infested_ha < limit_ha:
            yield book.exclude(
                site_id,
                "too-small",
                f"{infested_ha:.4f} ha infested; your limit is {limit_ha:g} ha (min_infested_ha).",
                f"Lowering min_infested_ha to {just_below(infested_ha, 4):.4f} ha would bring it back.",
                measured=infested_ha,
                limit=limit_ha,
                unit="ha",
            )
