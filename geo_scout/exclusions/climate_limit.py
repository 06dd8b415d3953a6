"""Published hard limits of the agent's climate, each compared with its own quantity only."""

from collections.abc import Iterator

import numpy as np

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.bring_back import just_above, just_below
from geo_scout.formulas.climate_limits import check_limit
from geo_scout.model.climate_quantity import ClimateQuantity, NamedQuantity
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.quantities import COLUMN_OF_LIMIT


def exclude_climate_limit(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites beyond a limit of the profile that the climate layers or daily weather can answer."""
    for name, limit in book.agent.climate.limits.items():
        variable = COLUMN_OF_LIMIT.get(name)
        if variable is None or variable not in book.climate:
            continue
        named, values = _named(name), book.climate[variable].to_numpy(dtype=np.float64)
        check = check_limit(named, values, named, limit.least, limit.most)
        for index in np.flatnonzero(check.is_below | check.is_above):
            is_below, value = bool(check.is_below[index]), float(values[index])
            bound = limit.least if is_below else limit.most
            back = just_below(value, 2) if is_below else just_above(value, 2)
            assert bound is not None
            yield _exclusion(book, name, int(index), value, bound, back, "lowest" if is_below else "highest")


def _named(name: str) -> NamedQuantity:
    quantity = ClimateQuantity(name)
    own = "the profile's own heat window" if quantity is ClimateQuantity.HEAT_SUM else ""
    return NamedQuantity(quantity, own)


def _exclusion(
    book: SiteBook, name: str, index: int, value: float, bound: float, back: float, word: str
) -> Exclusion:
    unit, limit = ClimateQuantity(name).unit, book.agent.climate.limits[name]
    rests_on = str(book.basis[name].iloc[index]) if name in book.basis else ""
    basis = f" ({rests_on})" if rests_on else ""
    source = f" ({limit.source})" if limit.source else ""
    allowed = f"the {word} the profile allows is {bound:g} {unit}{source}"
    return book.exclude(
        book.sites.site_ids[index],
        "climate-limit",
        f"{name} is {value:.2f} {unit} here{basis}; {allowed}.",
        f"A limit of {back:.2f} {unit} in the profile would bring it back.",
        measured=value,
        limit=bound,
        unit=unit.replace("degC", "degc"),
    )
