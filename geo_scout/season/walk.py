"""Every setting of a file in turn, for the reference and for telling where a stray key belongs."""

import datetime as dt
from collections.abc import Iterator

from geo_scout.model.setting import Table
from geo_scout.season.fields import Slot, slot_at, slots_of
from geo_scout.season.wording import KeyPath, header


def walk(model: type[Table], path: KeyPath = (), unit: str = "") -> Iterator[tuple[KeyPath, Slot]]:
    """Yield every key a file may hold with what it allows; NAME stands for a name of the user's."""
    for key, slot in slots_of(model, unit).items():
        place = (*path, key)
        yield place, slot
        if slot.kind == "mapping":
            inner = slot_at(model, (key, "NAME"))
            if inner is not None and inner.model is not None:
                yield from walk(inner.model, (*place, "NAME"))
        elif slot.model is not None:
            yield from walk(slot.model, place, slot.unit)


_FITS: dict[type, tuple[str, ...]] = {
    bool: ("yes or no",),
    int: ("number", "whole number", "choice"),
    float: ("number",),
    str: ("text", "choice"),
    dt.date: ("date",),
    list: ("texts", "numbers", "places", "tables"),
    dict: ("table", "mapping"),
}


def homes_of(key: str, value: object, model: type[Table]) -> list[str]:
    """Return the tables of a file that take a key with such a value, each once.

    Layers and criteria are told by their pattern.
    """
    lists = {path for path, slot in walk(model) if slot.kind == "tables"}
    kinds = _FITS.get(type(value), ())
    found = [path[:-1] for path, slot in walk(model) if path[-1] == key and slot.kind in kinds]
    return list(dict.fromkeys(_pattern(path, is_list=path in lists) for path in found))


def _pattern(path: KeyPath, *, is_list: bool) -> str:
    if not path:
        return "the top of the file"
    if path[0] == "layers" and len(path) > 1:
        path = ("layers", "NAME", *path[2:])
    if path[0] == "weights" and len(path) > 1:
        path = ("weights", "ROLE", *path[2:])
    if path[0] == "criteria" and len(path) > 2:
        path = ("criteria", "ROLE", "NAME", *path[3:])
    return header(path, is_list=is_list)
