"""Jurisdictions where the agent must not be moved or released, as the profile states it."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.model.exclusion import Exclusion


def exclude_forbidden_by_law(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites in a jurisdiction whose stated status is forbidden or moratorium.

    Unknown or old statements do not exclude: every output says STOP AND ASK instead.
    """
    patches = book.sites.patches
    status_in = {name: book.agent.legal_in(name) for name in set(patches["jurisdiction"])}
    for site_id, jurisdiction in zip(patches["site_id"], patches["jurisdiction"], strict=True):
        status = status_in[jurisdiction]
        if status.status in ("forbidden", "moratorium"):
            said = f" by {status.authority}" if status.authority else ""
            checked = f", checked on {status.checked_on}" if status.checked_on else ""
            word = "is forbidden" if status.status == "forbidden" else "is under a moratorium"
            yield book.exclude(
                site_id,
                f"legal-{status.status}",
                f"moving or releasing {book.agent.name} {word} in {jurisdiction}{said}{checked}.",
                "Only a change of the law, checked with the authority, would bring it back.",
            )
