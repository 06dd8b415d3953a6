"""What an agent profile must also be true of, beyond the kind and range of each value."""

import math
from collections.abc import Iterator, Sequence

from geo_scout.model.land_limits import limits_of, unit_of
from geo_scout.model.problem import Problem
from geo_scout.model.quantities import CLIMATE_VARIABLES, COLUMN_OF_LIMIT, HEAT_SUM
from geo_scout.season.climate_checks import check_variable, check_variables
from geo_scout.season.document import Document
from geo_scout.season.fields import unit_of_quantity
from geo_scout.season.limit_names import limit_meant
from geo_scout.season.record_checks import check_profile_records
from geo_scout.season.timing_checks import check_timing
from geo_scout.season.unique import check_unique
from geo_scout.season.wording import KeyPath, show_number, show_value, unit_words

_LIMITS = tuple(COLUMN_OF_LIMIT)


def check_profile(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of one agent profile that its model cannot see."""
    yield from _check_spread(document)
    yield from check_variables(document, ("climate", "variables"))
    yield from _check_limits(document)
    yield from check_timing(document)
    yield from check_profile_records(document)
    yield from _check_limit(document, ("terrain", "elevation_m"), unit_words("m"))
    for row in document.rows("known_populations"):
        yield from _check_population(document, row)
    yield from check_unique(document, list(document.rows("known_populations")), "name", "population")
    yield from check_unique(document, list(document.rows("legal_status")), "jurisdiction", "legal status")


def _check_spread(document: Document) -> Iterator[Problem]:
    path: KeyPath = ("spread",)
    given = [key for key in ("km_per_yr", "curve") if document.get(*path, key) is not None]
    if len(given) == 2:
        what = "a rate (km_per_yr) and a curve are both given; only one can be used."
        yield document.problem("profile-spread", (*path, "curve"), what, "remove one of the two.")
    if given and document.get(*path, "max_spread_km") is None:
        what = f"spread by {given[0]} needs a largest distance: never further than this, in km."
        fix = f"add below {document.title(path)}, with your own number for N: max_spread_km = N"
        yield document.problem("profile-spread", (*path, "max_spread_km"), what, fix)
    first = document.number(*path, "curve", "fitted_from_years")
    last = document.number(*path, "curve", "fitted_to_years")
    if first is not None and last is not None and first >= last:
        what = f"the fit starts in year {show_number(first)} and ends in year {show_number(last)}."
        fix = (
            f"exchange them: fitted_from_years = {show_number(last)}, fitted_to_years = {show_number(first)}"
        )
        if first == last:
            fix = "write the first and the last year of the data the curve was fitted to."
        yield document.problem("curve-order", (*path, "curve", "fitted_to_years"), what, fix)


def _check_limits(document: Document) -> Iterator[Problem]:
    for name in document.table("climate", "limits"):
        path: KeyPath = ("climate", "limits", name)
        if name not in _LIMITS:
            what = "there is no climate limit with this name."
            yield document.problem("unknown-key", path, what, limit_meant(name))
            continue
        if name == HEAT_SUM and not document.table("timing", "collecting", "heat"):
            what = "a heat sum means nothing without its base, method and start, and there is no heat window."
            fix = "add [timing.collecting.heat]; the limit is taken by its base, in Celsius degree-days."
            yield document.problem("profile-limit", path, what, fix)
        yield from _check_limit(document, path, unit_words(unit_of_quantity(name)))


def _check_limit(document: Document, path: KeyPath, unit: str) -> Iterator[Problem]:
    """Yield the mistake of a limit that limits nothing, or of one that nothing can meet."""
    if not isinstance(document.get(*path), dict):
        return
    least, most = document.number(*path, "least"), document.number(*path, "most")
    if document.get(*path, "least") is None and document.get(*path, "most") is None:
        what = "this limit has neither a lowest nor a highest value."
        fix = f"write least, most or both, with your own number for N: {path[-1]} = {{least = N}}"
        yield document.problem("profile-limit", path, what, fix)
    elif least is not None and most is not None and least > most:
        what = f"least = {show_number(least)}{unit} lies above most = {show_number(most)}{unit}."
        fix = f"exchange them: least = {show_number(most)}, most = {show_number(least)}"
        yield document.problem("profile-limit", path, what, fix)


def _check_population(document: Document, row: KeyPath) -> Iterator[Problem]:
    pair = ("longitude_deg", "latitude_deg")
    given = [key for key in pair if document.get(*row, key) is not None]
    if len(given) == 1:
        absent = next(key for key in pair if key not in given)
        what = f"{given[0]} stands alone; a place needs both coordinates."
        fix = f"add below {document.title(row)}, with your own number for N: {absent} = N"
        yield document.problem("profile-population", (*row, absent), what, fix)
    elif not given and not document.table(*row, "climate"):
        what = "this population has neither a place nor climate values, so it can tell nothing."
        fix = "add longitude_deg and latitude_deg, or climate = {bio05 = N, bio06 = N, bio12 = N}"
        yield document.problem("profile-population", row, what, fix, key=_numbered(document, row))
    for name in document.table(*row, "climate"):
        yield from check_variable(document, (*row, "climate", name), name)
        yield from _check_possible(document, (*row, "climate", name), name)


def _check_possible(document: Document, path: KeyPath, name: str) -> Iterator[Problem]:
    """Yield the mistake of a climate value that no place on land has, such as tenths of a degree."""
    value = document.number(*path)
    if name not in CLIMATE_VARIABLES or value is None or not math.isfinite(value):
        return
    least, most = limits_of(name)
    if not least <= value <= most:
        unit = unit_of(name)
        what = (
            f"{show_number(value)} {unit} is beyond what any place on land has: {show_number(least)} to "
            f"{show_number(most)} {unit}."
        )
        fix = f"write it in {unit}; the tables of some sources are in tenths of a degree."
        yield document.problem("out-of-range", path, what, fix)


def _numbered(document: Document, row: KeyPath) -> str:
    name = document.text(*row, "name")
    return document.title(row) if name is None else f"{document.title(row)} {show_value(name)}"


def check_profiles_together(documents: Sequence[Document]) -> Iterator[Problem]:
    """Yield the mistakes that only show when the profiles stand side by side."""
    names: dict[str, Document] = {}
    hosts: dict[str, tuple[str, Document]] = {}
    codes: dict[str, tuple[str, Document]] = {}
    for document in documents:
        name, host, code = (document.text(key) for key in ("name", "host", "host_code"))
        if name is not None:
            first = names.setdefault(name.strip().casefold(), document)
            if first is not document:
                what = f"{show_value(name)} is also the name of the agent in {first.file}."
                fix = "give each agent its own name, as the releases layer writes it."
                yield document.problem("duplicate-name", ("name",), what, fix)
        if host is not None and code is not None:
            yield from _check_code(document, host, code, hosts, codes)


def _check_code(
    document: Document,
    host: str,
    code: str,
    hosts: dict[str, tuple[str, Document]],
    codes: dict[str, tuple[str, Document]],
) -> Iterator[Problem]:
    weed = host.strip().casefold()
    other_host, other = codes.setdefault(code, (weed, document))
    if other_host != weed:
        what = f"{show_value(code)} already stands for {show_value(other.text('host'))} in {other.file}."
        yield document.problem("duplicate-name", ("host_code",), what, "give each host its own code.")
    other_code, other = hosts.setdefault(weed, (code, document))
    if other_code != code:
        what = f"the host {show_value(host)} has the code {show_value(other_code)} in {other.file}."
        yield document.problem(
            "profile-host-code", ("host_code",), what, f'write host_code = "{other_code}" in both.'
        )
