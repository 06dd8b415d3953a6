"""How values, keys and units are shown in a message: hostile characters visible, numbers as written."""

import datetime as dt
import re
import unicodedata
from collections.abc import Mapping, Sequence

from pydantic import BaseModel

KeyPath = tuple[str | int, ...]

_NAMED_ESCAPES = {"\t": "\\t", "\n": "\\n", "\r": "\\r", "\b": "\\b", "\f": "\\f", "\x1b": "\\e"}
_BIDI = {0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_LONGEST = 120

# What a table states itself, such as degc or degf, cannot be said beside a number.
UNIT_WORDS = {"of the table": "", "degc": "degC", "pct": "%", "degc x 100": "degC x 100"}


def is_control(character: str) -> bool:
    r"""Return whether a character is a control character.

    >>> is_control("\t"), is_control("a")
    (True, False)
    """
    return unicodedata.category(character) == "Cc"


def visible(text: str) -> str:
    r"""Return text with control and direction characters as escapes, cut when very long.

    >>> visible("C:" + chr(9) + "emp")
    'C:\\temp'
    """
    shown = _escaped(text)
    return shown if len(shown) <= _LONGEST else shown[: _LONGEST - 3] + "..."


def _escaped(text: str) -> str:
    return "".join(_visible_character(character) for character in text)


def _visible_character(character: str) -> str:
    if character in _NAMED_ESCAPES:
        return _NAMED_ESCAPES[character]
    code = ord(character)
    if is_control(character) or code in _BIDI or unicodedata.category(character) in ("Zl", "Zp"):
        return f"\\u{code:04x}"
    return character


def unit_words(unit: str) -> str:
    """Return a unit as people write it, with the space before it; nothing for shares and counts."""
    words = UNIT_WORDS.get(unit, unit)
    return f" {words}" if words and words != "share" else ""


def show_number(value: float) -> str:
    """Return a number as the user would write it.

    >>> show_number(100.0), show_number(0.25), show_number(7)
    ('100', '0.25', '7')
    """
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)


def show_value(value: object) -> str:
    """Return a value of the file for a sentence: text in quotes, the rest as TOML writes it."""
    if isinstance(value, str):
        return f"'{visible(value)}'"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return str(value)
    return visible(str(value))


def given_words(value: object) -> str:
    """Return a value and its kind in words; of tables and lists the kind alone.

    >>> given_words("100"), given_words([1])
    ("'100' is text", 'a list is given')
    """
    if isinstance(value, Mapping | list):
        return f"{kind_of(value)} is given"
    return f"{show_value(value)} is {kind_of(value)}"


def kind_of(value: object) -> str:
    """Return in words what kind of TOML value this is."""
    kinds: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "a yes-or-no value"),
        (str, "text"),
        (int, "a whole number"),
        (float, "a number with decimals"),
        (dt.datetime, "a date with a time"),
        (dt.date, "a date"),
        (dt.time, "a time of day"),
        (Mapping, "a table"),
        (Sequence, "a list"),
    )
    return next(words for kind, words in kinds if isinstance(value, kind))


def toml_value(value: object) -> str:
    """Return a value as it can be pasted into a TOML file.

    >>> toml_value(("a", "b")), toml_value({"from": 0.0})
    ('["a", "b"]', '{from = 0}')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        body = _escaped(value.replace("\\", "\\\\").replace('"', '\\"'))
        return f'"{body}"'
    if isinstance(value, int | float):
        return show_number(value)
    if isinstance(value, BaseModel):
        return toml_value(value.model_dump(by_alias=True, exclude_none=True))
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{show_key(key)} = {toml_value(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(toml_value(item) for item in value) + "]"
    return str(value)


def show_key(key: str) -> str:
    """Return one key as the file writes it, in quotes where it must be."""
    return key if _BARE_KEY.fullmatch(key) else f'"{visible(key)}"'


def dotted(path: KeyPath) -> str:
    """Return a key path as a person writes it; lists count from 1.

    >>> dotted(("crews", 1, "name"))
    'crews[2].name'
    """
    words = ""
    for part in path:
        if isinstance(part, int):
            words += f"[{part + 1}]"
        else:
            words += f".{show_key(part)}" if words else show_key(part)
    return words


def header(path: KeyPath, *, is_list: bool = False) -> str:
    """Return the line that opens a table.

    >>> header(("crews", 1), is_list=True), header(("layers", "tmin"))
    ('[[crews]]', '[layers.tmin]')
    """
    name = dotted(tuple(part for part in path if isinstance(part, str)))
    return f"[[{name}]]" if is_list else f"[{name}]"


def listed(words: Sequence[str], last: str = "or") -> str:
    """Return words joined for a sentence.

    >>> listed(["a", "b", "c"])
    'a, b or c'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
