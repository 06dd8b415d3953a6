"""What a list of climate variables must be true of, in the season file and in a profile."""

from collections.abc import Iterator

from geo_scout.model.problem import Problem
from geo_scout.model.quantities import CLIMATE_VARIABLES, EXACT_COMBINATIONS
from geo_scout.season.document import Document
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import KeyPath, show_value

MOST_VARIABLES = 4
_CODE = "climate-variables"


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
