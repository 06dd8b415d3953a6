"""How letters are stored: names of encodings the season file may state."""

from collections.abc import Iterator

from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import KeyPath, show_value

COMMON = (
    "utf-8",
    "cp1252",
    "iso-8859-1",
    "iso-8859-15",
    "cp1250",
    "cp1251",
    "cp850",
    "cp852",
    "utf-16",
    "gb18030",
)


def check_encoding(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a name that is no encoding of text."""
    written = document.text(*path)
    if written is None or is_text_encoding(written):
        return
    what = f"{show_value(written)} is no encoding of text."
    fix = did_you_mean(written, COMMON, 'write its name, for example encoding = "cp1252" for Western Europe.')
    yield document.problem("encoding", path, what, fix)


def is_text_encoding(name: str) -> bool:
    """Return whether a name is an encoding that turns bytes into text.

    >>> is_text_encoding("cp1252"), is_text_encoding("base64"), is_text_encoding("latin1")
    (True, False, True)
    """
    try:
        b"letters".decode(name, errors="replace")
    except (LookupError, ValueError):
        return False
    return True
