"""What a list of climate variables must be true of, in the season file and in a profile."""

from collections.abc import Iterator

from geo_scout.model.problem import Problem
from geo_scout.model.quantities import CLIMATE_VARIABLES, EXACT_COMBINATIONS
from geo_scout.season.document import Document
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import KeyPath, show_number, show_value

MOST_VARIABLES = 4
_CODE = "climate-variables"
_MONTHS, _LARGEST_SPREAD_DEGC = 12, 15.0


def check_variables(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistakes of a list of climate variables."""
    variables = list(document.texts(*path))
    if document.get(*path) == []:
        fix = 'name one to four: variables = ["bio05", "bio06", "bio12"]'
        yield document.problem(_CODE, path, "this list is empty.", fix)
    seen: dict[str, int] = {}
    for place, name in variables:
        yield from check_variable(document, place, name)
        first = seen.setdefault(name, int(place[-1]) + 1)
        if first != int(place[-1]) + 1:
            what = f"{show_value(name)} is already number {first} of the list."
            yield document.problem(_CODE, place, what, "remove one of the two.")
    if len(seen) > MOST_VARIABLES:
        what = f"{len(seen)} variables are named; at most {MOST_VARIABLES} can be compared."
        yield document.problem(_CODE, path, what, "keep those that limit the agent.")
    for names, why in EXACT_COMBINATIONS:
        if names <= set(seen):
            what = f"{', '.join(sorted(names))} cannot stand together: {why}."
            yield document.problem(_CODE, path, what, "remove one of the three.")


def check_variable(document: Document, place: KeyPath, name: str) -> Iterator[Problem]:
    """Yield the mistake of a name that is no climate variable."""
    if name not in CLIMATE_VARIABLES:
        fix = did_you_mean(name, CLIMATE_VARIABLES, "the variables are bio01 to bio19.")
        yield document.problem(_CODE, place, f"{show_value(name)} is not a climate variable.", fix)


def check_climate_table(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of ``[climate]`` that its model cannot see."""
    path: KeyPath = ("climate", "daily_spread_degc")
    spread = document.get(*path)
    if isinstance(spread, list):
        numbers = [one for one in spread if isinstance(one, int | float) and not isinstance(one, bool)]
        if len(spread) not in (1, _MONTHS):
            what = f"{len(spread)} numbers are given; one for the whole year or twelve are needed."
            fix = "write the standard deviation of daily means within each month, January to December."
            yield document.problem("climate-spread", path, what, fix)
        elif any(not 0 <= one < _LARGEST_SPREAD_DEGC for one in numbers):
            worst = next(one for one in numbers if not 0 <= one < _LARGEST_SPREAD_DEGC)
            what = f"{show_number(worst)} degC is no spread of daily means; they lie between 0 and 15 degC."
            yield document.problem("climate-spread", path, what, "write degrees Celsius, none below 0.")
    kind: KeyPath = ("climate", "kind")
    if document.text(*kind) == "interannual" and "yearly_climate" not in document.table("layers"):
        what = "the year-to-year climate gap needs single years at a population, and there is no such layer."
        fix = 'add [layers.yearly_climate], or write kind = "regional"'
        yield document.problem("layer-missing", kind, what, fix)
