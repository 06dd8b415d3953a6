"""The nearest valid name for one the user misspelt."""

import difflib
import re
from collections.abc import Iterable

CLOSE = 0.65
VERY_CLOSE = 0.85
"""Shares of matching characters (difflib's ratio), our choice: "timming" is 0.92 like "timing"."""
LEAST_LETTERS = 4
"""The end of a name stands for it from so many letters on (our choice)."""


def nearest(word: str, valid: Iterable[str], least: float = CLOSE) -> str | None:
    """Return the valid name most like a word, or None where none is close.

    Capitals, spaces or hyphens for underscores, and zeros before a number do not count. The last word of a
    name stands for it, of several for the first.

    >>> nearest("timming", ["timing", "terrain"])
    'timing'
    >>> nearest("BIO6", ["bio06", "bio16"])
    'bio06'
    >>> nearest("bio05_degc", ["bio05", "bio06"])
    'bio05'
    >>> nearest("sine", ["simple_average", "single_sine", "double_sine"])
    'single_sine'
    >>> nearest("quux", ["timing", "terrain"]) is None
    True
    """
    plain = {_plain(name): name for name in valid}
    if _plain(word) in plain:
        return plain[_plain(word)]
    longer = [name for name in plain if _plain(word).startswith(f"{name}_")]
    if longer:
        return plain[max(longer, key=len)]
    parts = [name for name in plain if len(word) >= LEAST_LETTERS and name.endswith(f"_{_plain(word)}")]
    if parts:
        return plain[parts[0]]
    close = difflib.get_close_matches(_plain(word), list(plain), n=1, cutoff=least)
    return plain[close[0]] if close else None


def did_you_mean(word: str, valid: Iterable[str], otherwise: str) -> str:
    """Return the question that names the nearest valid name, or other advice where none is close."""
    name = nearest(word, valid)
    return otherwise if name is None else f"did you mean '{name}'?"


def _plain(word: str) -> str:
    joined = re.sub(r"[\s\-]+", "_", word.strip().casefold())
    return re.sub(r"(?<!\d)0+(?=\d)", "", joined)
