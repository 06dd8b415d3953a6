"""Release sites where the agent is too likely to be there already, for a season that sets that limit."""

from collections.abc import Iterator
from typing import Any

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_above
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.presence import percent_range
from geo_scout.model.rows import each_row


def exclude_wasted(book: SiteBook) -> Iterator[Exclusion]:
    """Yield release sites where the chance that the agent is there exceeds ``max_wasted_share``.

    Sites that ask for more agents are exempt, and those where it is confirmed have a reason of their own.
    """
    limit = book.season.rules.max_wasted_share
    if book.role != "release" or limit is None:
        return
    sites = book.evidence.sites
    is_over = (sites["presence_share"] > limit) & (sites["purpose"] != "supplement") & ~sites["confirmed"]
    for row in each_row(sites[is_over]):
        chance = percent_range(row.presence_low_share, row.presence_share, row.presence_high_share)
        yield book.exclude(
            row.site_id,
            "agent-inferred",
            f"the chance that {book.agent.name} is here already is {chance}; your limit is "
            f"{100 * limit:g} % (max_wasted_share). It rests on {_records(row)}, not on a confirmed find.",
            f"A visit can settle it; max_wasted_share of {just_above(row.presence_share, 4):.4f} would bring "
            "it back.",
            measured=float(row.presence_share),
            limit=limit,
            unit="share",
        )


def _records(row: Any) -> str:
    return f"release {row.release_ids}" if row.release_ids else "releases and finds around"
