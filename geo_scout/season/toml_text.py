"""Values, keys and notes as TOML text: whatever they hold, it can be read back."""

import re
import unicodedata
from collections.abc import Mapping

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_LINES = ("Cc", "Cf", "Zl", "Zp")


def toml_text(text: str) -> str:
    r"""Return a text as a TOML string; control and direction characters become escapes.

    Examples
    --------
    >>> print(toml_text('a "b" c' + chr(92) + chr(9)))
    "a \"b\" c\\\u0009"
    """
    body = "".join(_escaped(letter) for letter in text)
    return f'"{body}"'


def toml_key(key: str) -> str:
    """Return a key, in quotes where it must be.

    Examples
    --------
    >>> toml_key("crop"), toml_key("wet land")
    ('crop', '"wet land"')
    """
    return key if _BARE_KEY.fullmatch(key) else toml_text(key)


def toml_item(value: object) -> str:
    """Return a text, a number, or a list or table of them as TOML.

    Examples
    --------
    >>> toml_item(["a", 2]), toml_item({"wet land": "ask"})
    ('["a", 2]', '{"wet land" = "ask"}')
    """
    if isinstance(value, str):
        return toml_text(value)
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml_item(item) for item in value)}]"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{toml_key(key)} = {toml_item(item)}" for key, item in value.items()) + "}"
    return str(value)


def note_text(text: str) -> str:
    r"""Return a text that is safe after a ``#`` and on a terminal: one line, nothing that hides or turns it.

    Examples
    --------
    >>> note_text("a" + chr(10) + "b")
    'a\\u000ab'
    """
    return "".join(_shown(letter) for letter in text)


def _escaped(letter: str) -> str:
    return f"\\{letter}" if letter in '"\\' else _shown(letter)


def _shown(letter: str) -> str:
    if unicodedata.category(letter) not in _LINES:
        return letter
    code = ord(letter)
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
