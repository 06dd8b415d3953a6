"""Release sites above or below where the agent can live, as its profile states it."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_above, just_below
from geo_scout.model.exclusion import Exclusion


def exclude_outside_elevation(book: SiteBook) -> Iterator[Exclusion]:
    """Yield release sites beyond the profile's ``terrain.elevation_m``; a source proves itself."""
    band = book.agent.terrain.elevation_m
    if book.role != "release" or band is None or "elevation_m" not in book.climate:
        return
    source = f" ({band.source})" if band.source else ""
    for site_id, elevation_m in zip(book.sites.site_ids, book.climate["elevation_m"], strict=True):
        for bound, is_beyond, word, back in (
            (band.least, band.least is not None and elevation_m < band.least, "lowest", just_below),
            (band.most, band.most is not None and elevation_m > band.most, "highest", just_above),
        ):
            if is_beyond and bound is not None:
                yield book.exclude(
                    site_id,
                    "elevation-limit",
                    f"{elevation_m:.1f} m of mean elevation here; the {word} the profile allows is "
                    f"{bound:g} m (elevation_m){source}.",
                    f"A limit of {back(elevation_m, 1):.1f} m in the profile would bring it back.",
                    measured=float(elevation_m),
                    limit=bound,
                    unit="m",
                )
