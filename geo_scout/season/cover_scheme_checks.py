"""What the user's own cover classes must be true of."""

import math
from collections.abc import Iterator, Mapping

from geo_scout.formulas.cover_classes import SCHEMES
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.wording import KeyPath, dotted, listed, show_key, show_number, show_value

_CODE = "cover-scheme"
_TABLE = "cover_schemes"
_TAKEN = ("percent", "share", *SCHEMES)


def own_schemes(document: Document) -> tuple[str, ...]:
    """Return the names of the cover schemes the season file itself has."""
    return tuple(name for name, classes in document.table(_TABLE).items() if isinstance(classes, Mapping))


def check_cover_schemes(document: Document) -> Iterator[Problem]:
    """Yield every mistake of every scheme, in the order of the file."""
    seen: dict[str, str] = {}
    for name in own_schemes(document):
        path: KeyPath = (_TABLE, name)
        yield from _check_name(document, path, seen)
        classes = document.table(*path)
        if not classes:
            fix = f"add a line for each class, for example:\n    [{dotted(path)}]\n    1 = [0, 2.5, 5]"
            yield document.problem(_CODE, path, "this scheme has no class.", fix)
        yield from _check_labels(document, path)
        for label, limits in classes.items():
            yield from _check_limits(document, (*path, label), limits)


def _check_name(document: Document, path: KeyPath, seen: dict[str, str]) -> Iterator[Problem]:
    name = str(path[-1])
    plain = plain_name(name)
    if not plain:
        yield document.problem(_CODE, path, "the name of the scheme is empty.", "give it a name.")
    elif plain in _TAKEN:
        what = f"{show_value(name)} is a name of ours; the names taken are {listed(_TAKEN, last='and')}."
        yield document.problem(_CODE, path, what, f"call it for instance [{_TABLE}.my-{plain}].")
    elif plain in seen:
        what = (
            f"{show_value(name)} reads like {show_value(seen[plain])}; capitals, spaces, - and _ are alike."
        )
        yield document.problem(_CODE, path, what, "give each scheme a name of its own.")
    seen.setdefault(plain, name)


def plain_name(name: str) -> str:
    """Return the name of a scheme as names are compared.

    >>> plain_name("County_Crew  classes")
    'county-crew-classes'
    """
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())


def _check_labels(document: Document, path: KeyPath) -> Iterator[Problem]:
    seen: dict[str, str] = {}
    for label in document.table(*path):
        first = seen.setdefault(label.strip().casefold(), label)
        if first != label:
            what = (
                f"class {show_value(label)} reads like {show_value(first)}; capitals and spaces do not "
                "matter."
            )
            yield document.problem(_CODE, (*path, label), what, "remove one of the two.")


def _check_limits(document: Document, path: KeyPath, limits: object) -> Iterator[Problem]:
    if not isinstance(limits, list) or not all(_is_number(limit) for limit in limits):
        return  # The model says what is wrong with the kind of the values.
    example = (
        f"write {show_key(str(path[-1]))} = [low, middle, high], each in percent, for example [5, 15, 25]."
    )
    if len(limits) != 3:
        what = f"{len(limits)} number{'' if len(limits) == 1 else 's'} given; a class has three."
        yield document.problem(_CODE, path, what, example)
        return
    outside = [show_number(limit) for limit in limits if not 0 <= limit <= 100]
    if outside:
        what = f"{listed(outside, last='and')} cannot be a cover; it is 0 to 100 percent."
        yield document.problem(_CODE, path, what, example)
    low, middle, high = limits
    if not low <= middle <= high:
        shown = ", ".join(show_number(limit) for limit in limits)
        what = f"[{shown}] does not rise from low to middle to high."
        ordered = ", ".join(show_number(limit) for limit in sorted(limits))
        yield document.problem(_CODE, path, what, f"write {show_key(str(path[-1]))} = [{ordered}]")


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
