"""Published hard limits of the agent's climate, each compared with its own quantity only."""

from collections.abc import Iterator

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_above, just_below
from geo_scout.model.climate_quantity import ClimateQuantity
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.quantities import COLUMN_OF_LIMIT


def exclude_climate_limit(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites beyond a limit of the profile that the climate layers can answer."""
    for name, limit in book.agent.climate.limits.items():
        variable = COLUMN_OF_LIMIT.get(name)
        if variable is None or variable not in book.climate:
            continue
        unit = ClimateQuantity(name).unit
        source = f" ({limit.source})" if limit.source else ""
        for site_id, value in zip(book.sites.site_ids, book.climate[variable], strict=True):
            for bound, is_beyond, word, back in (
                (
                    limit.least,
                    limit.least is not None and value < limit.least,
                    "lowest",
                    just_below(value, 2),
                ),
                (limit.most, limit.most is not None and value > limit.most, "highest", just_above(value, 2)),
            ):
                if is_beyond and bound is not None:
                    yield book.exclude(
                        site_id,
                        "climate-limit",
                        f"{name} is {value:.2f} {unit} here; the {word} the profile allows is "
                        f"{bound:g} {unit}{source}.",
                        f"A limit of {back:.2f} {unit} in the profile would bring it back.",
                        measured=float(value),
                        limit=bound,
                        unit=unit.replace("degC", "degc"),
                    )
