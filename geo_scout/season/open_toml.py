"""Open one TOML file: bytes to values with places, or the one mistake that stops it."""

import codecs
import tomllib
from pathlib import Path

from geo_scout.model.file_signatures import kind_of_bytes
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.positions import read_positions
from geo_scout.season.syntax import syntax_problem

_SAVE_AS = "save the file as UTF-8 (in most editors: Save as, encoding UTF-8)."
_NAME_TOML = "name a text file that ends in .toml; layers and profiles are named in the season file."


def open_toml(path: Path, file: str) -> Document | Problem:
    """Return a TOML file as a document, or why it cannot be read.

    Parameters
    ----------
    path
        Where it is; it is known to be a file.
    file
        Its name as the user wrote it.
    """
    try:
        stored = path.read_bytes()
    except OSError as error:
        what = f"this file cannot be read: {error.strerror or 'the system refuses it'}."
        return Problem(
            "file-unreadable", file, None, "", what, "check its permissions and close other programs."
        )
    text = _decode(stored, file)
    return text if isinstance(text, Problem) else read_text(text, file)


def read_text(text: str, file: str) -> Document | Problem:
    """Return TOML text as a document, or why it cannot be read.

    Parameters
    ----------
    text
        The text.
    file
        Name of the file it is from, for messages.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return syntax_problem(file, text, str(error))
    except RecursionError:
        what = "lists or tables are nested too deeply to be read."
        return Problem(
            "syntax", file, None, "", what, "remove the nesting; no setting needs more than two levels."
        )
    return Document(file=file, data=data, positions=read_positions(text))


def _decode(stored: bytes, file: str) -> str | Problem:
    """Return the text; a byte-order mark of UTF-8 is dropped, what is no text in UTF-8 is refused."""
    for mark in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE):
        if stored.startswith(mark):
            return Problem("encoding", file, 1, "", "this file is UTF-16; UTF-8 is needed.", _SAVE_AS)
    kind = kind_of_bytes(stored)
    if kind:
        what = f"this file is no text; by its first bytes it is {kind}."
        return Problem("not-text", file, None, "", what, _NAME_TOML)
    if b"\0" in stored:
        return Problem("not-text", file, None, "", "this file is no text: it holds zero bytes.", _NAME_TOML)
    body = stored.removeprefix(codecs.BOM_UTF8)
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1
        what = f"this line holds a byte (0x{body[error.start]:02x}) that is not UTF-8."
        return Problem("encoding", file, line, "", what, _SAVE_AS)
