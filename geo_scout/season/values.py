"""A value of the wrong kind, outside its range, or not among its choices: what is wrong and the remedy.

Each function returns the code, the sentence and the fix.
"""

import datetime as dt
import math
import re
from typing import Any

from geo_scout.model.setting import Table
from geo_scout.season.document import Document
from geo_scout.season.fields import Slot, slots_of
from geo_scout.season.skeleton import pasteable_table
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import (
    KeyPath,
    given_words,
    header,
    listed,
    show_key,
    show_number,
    show_value,
    toml_value,
    unit_words,
)

Sentence = tuple[str, str, str]

_NUMBER_START = re.compile(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*(\S*)")
_YES = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}
_CAPITALS = "two to eight capital letters or digits, without spaces"


def out_of_range(slot: Slot, value: float) -> Sentence:
    """Return the sentence for a number outside its limits."""
    unit = unit_words(slot.unit)
    share = " (a share: 1 is all of it)" if slot.unit == "share" else ""
    what = f"{show_number(value)}{unit} is outside the range: {slot.range_text()}{share}."
    if isinstance(slot.default, int | float):
        return "out-of-range", what, f"the default is {show_number(slot.default)}{unit}."
    otherwise = "" if slot.is_needed else "; or remove the line"
    return "out-of-range", what, f"write a number within the range: {slot.range_text()}{otherwise}."


def swapped_coordinates(document: Document, path: KeyPath) -> str:
    """Return the fix for a latitude out of range that would fit as a longitude; empty otherwise."""
    name = str(path[-1])
    if not name.endswith("latitude_deg"):
        return ""
    other = name.replace("latitude", "longitude")
    latitude_deg, longitude_deg = document.number(*path), document.number(*path[:-1], other)
    if latitude_deg is None or longitude_deg is None or abs(longitude_deg) > 90 or abs(latitude_deg) > 180:
        return ""
    return (
        "the two look swapped; write "
        f"{other} = {show_number(latitude_deg)} and {name} = {show_number(longitude_deg)}."
    )


def not_finite(slot: Slot, value: float) -> Sentence:
    """Return the sentence for nan and infinity."""
    written = "nan" if math.isnan(value) else "inf" if value > 0 else "-inf"
    if slot.is_needed:
        fix = f"write a number{_in_range(slot)}."
    else:
        fix = f"write a number{_in_range(slot)}, or remove the line{_default_words(slot)}."
    return "not-finite", f"{written} is not a number that can be used.", fix


def _in_range(slot: Slot) -> str:
    return (
        f" within the range: {slot.range_text()}"
        if slot.range_text()
        else unit_words(slot.unit).replace(" ", " in ", 1)
    )


def _default_words(slot: Slot) -> str:
    if slot.default is None or slot.is_needed:
        return ""
    return f"; the default is {toml_value(slot.default)}{unit_words(slot.unit)}"


def bad_choice(slot: Slot, path: KeyPath, value: Any) -> Sentence:
    """Return the sentence for a value that is not one of the choices."""
    if path == ("format",):
        if type(value) is int:
            what = f"this file has format {value}; this version reads format 1."
            return "bad-choice", what, "write format = 1"
        return "wrong-type", f"{given_words(value)}; the number 1 is needed.", "write format = 1"
    choices = [str(choice) for choice in slot.choices]
    if not any(isinstance(choice, str) for choice in slot.choices):
        numbers = listed(choices)
        if type(value) is int:
            return "bad-choice", f"{value} is not one of {numbers}.", f"write {numbers}."
        return "wrong-type", f"{given_words(value)}; {numbers} is needed.", f"write {numbers}."
    quoted = listed([f"'{choice}'" for choice in choices])
    if not isinstance(value, str):
        return "wrong-type", f"{given_words(value)}; {quoted} is needed.", f"write {quoted}."
    if len(choices) == 1:
        what = f"{show_value(value)} is not known; the only choice is {quoted}."
    else:
        what = f"{show_value(value)} is not one of {quoted}."
    return "bad-choice", what, did_you_mean(value, choices, f"write {quoted}.")


def bad_pattern(slot: Slot, path: KeyPath, value: str) -> Sentence:
    """Return the sentence for a host code that is not plain capitals."""
    what = f"{show_value(value)} does not fit: {_CAPITALS}."
    plain = "".join(letter for letter in value.upper() if letter.isascii() and letter.isalnum())[:8]
    fits = re.fullmatch(slot.pattern, plain) is not None
    return "bad-choice", what, f'write {path[-1]} = "{plain}"' if fits else f"write {_CAPITALS}."


def too_few(slot: Slot, path: KeyPath) -> Sentence:
    """Return the sentence for an empty list of tables."""
    lines = pasteable_table(path, slot).splitlines()
    fix = "write at least one, with your own numbers for N:\n" + "\n".join(f"    {line}" for line in lines)
    return "season-empty", f"this list is empty; at least one is needed: {slot.meaning}.", fix


def wrong_type(slot: Slot, path: KeyPath, value: Any) -> Sentence:
    """Return the sentence for a value of another kind than the setting's."""
    what = f"{given_words(value)}; {_needed(slot)} is needed."
    return "wrong-type", what, _type_fix(slot, path, value)


def _needed(slot: Slot) -> str:
    unit = unit_words(slot.unit).replace(" ", " in ", 1)
    words = {
        "table": "a table",
        "tables": "a list of tables",
        "mapping": "a table",
        "text": "text in quotes",
        "texts": "a list of texts",
        "places": "a list of names",
        "place": "a name in quotes, or a list of names",
        "numbers": "a list of numbers",
        "number": f"a number{unit}",
        "whole number": f"a whole number{unit}",
        "yes or no": "true or false",
        "date": "a date",
    }
    return words[slot.kind]


def _type_fix(slot: Slot, path: KeyPath, value: Any) -> str:
    key = show_key(str(path[-1])) if isinstance(path[-1], str) else ""
    assign = f"{key} = " if key else ""
    if slot.kind in ("number", "whole number"):
        return _number_fix(slot, assign, value)
    if slot.kind == "date":
        advice = "write the day alone" if isinstance(value, dt.datetime) else "write it without quotes"
        return f"{advice}, as {_date_example(value)}"
    if slot.kind == "yes or no":
        meant = _YES.get(str(value).strip().casefold())
        return (
            "write true or false, without quotes." if meant is None else f"write {assign}{toml_value(meant)}"
        )
    if slot.kind == "text":
        return _text_fix(slot, assign, value)
    if slot.kind == "numbers":
        if path[0] == "cover_schemes":
            return f"write {assign}[low, middle, high], each in percent, for example [5, 15, 25]."
        return f"write a list of numbers: {assign}[N, N]"
    if slot.kind == "places":
        return f'write {assign}["NAME", ["NAME", "NAME"]], most important first; a list inside: equal ones.'
    if slot.kind == "place":
        return 'write "NAME", or ["NAME", "NAME"] where they are equally important.'
    if slot.kind == "texts":
        return f"write {assign}[{toml_value(value) if isinstance(value, str) else toml_value(str(value))}]"
    return _table_fix(slot, path, value)


def _number_fix(slot: Slot, assign: str, value: Any) -> str:
    match = _NUMBER_START.fullmatch(value) if isinstance(value, str) else None
    if match is not None and not match.group(2):
        return f"write it without quotes: {assign}{match.group(1).replace(',', '.')}"
    if match is not None:
        unit = unit_words(slot.unit).replace(" ", " in ", 1)
        return f"write the number alone{unit or ''}, without quotes and without its unit."
    if isinstance(value, float) and slot.kind == "whole number":
        return f"write it without decimals: {assign}{round(value)}"
    return f"write a number{_in_range(slot)}{_default_words(slot)}."


def _date_example(value: Any) -> str:
    if isinstance(value, dt.datetime):
        return value.date().isoformat()
    try:
        return dt.date.fromisoformat(str(value).strip()).isoformat()
    except ValueError:
        return "2027-05-01"


def _text_fix(slot: Slot, assign: str, value: Any) -> str:
    if slot.unit == "MM-DD" and isinstance(value, dt.date):
        return f'write month and day, without the year: {assign}"{value.month:02}-{value.day:02}"'
    if isinstance(value, dict | list):
        return f'write {assign}"..."'
    prefix = "EPSG:" if assign == "crs = " and type(value) is int else ""
    return f"write it in quotes: {assign}{toml_value(prefix + show_value(value))}"


def _table_fix(slot: Slot, path: KeyPath, value: Any) -> str:
    if slot.kind == "tables":
        return f"write {header(path, is_list=True)} with two brackets on each side, once for each."
    if len(path) == 2 and path[0] == "layers" and isinstance(value, str):
        return f"write {header(path)} and below it path = {toml_value(value)}"
    if slot.kind == "mapping" and path[0] == "cover_schemes" and len(path) > 1:
        return f"write {header(path)} and below it a line for each class, for example: 1 = [0, 2.5, 5]"
    if slot.kind == "mapping" or slot.model is None:
        return f"write a table: {slot.meaning}."
    if path[-1] == "curve" and isinstance(slot.default, Table):
        return f"write a table, for example curve = {toml_value(slot.default)}"
    if any(isinstance(part, int) for part in path):
        keys = listed([show_key(key) for key in slots_of(slot.model)], last="and")
        return f"write it in braces as a table with the keys {keys}."
    keys = listed([show_key(key) for key in slots_of(slot.model)], last="and")
    return f"write {header(path)} and its keys below it: {keys}."
