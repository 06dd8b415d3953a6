"""How the letters of a layer are stored: as the season states, as the file says, or as was assumed."""

from collections.abc import Mapping
from typing import Any, NoReturn

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.sources import Remark
from geo_scout.model.layer_table import LayerTable

UTF8 = "utf-8"
NEW_LINE = b"\n"
# Formats that do not fix how letters are stored; the others say UTF-8 by their own rules.
_OPEN_FORMATS = frozenset({".shp", ".dbf", ".tab", ".mif"})
_BYTE_ORDER_MARKS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


def stated_encoding(suffix: str, table: LayerTable, remarks: list[Remark]) -> str | None:
    """Return the encoding the season states, where the format leaves one to be stated."""
    if table.encoding is None or suffix in _OPEN_FORMATS:
        return table.encoding
    what = (
        f"'{table.path}' says itself how its letters are stored; encoding = \"{table.encoding}\" was not "
        "used."
    )
    remarks.append(("encoding-unused", "note", what, "Take the `encoding` line out of this layer."))
    return None


def say_encoding(assumed: str, columns: Mapping[str, Any], table: LayerTable, remarks: list[Remark]) -> None:
    """Caution where letters beyond plain English were read by an encoding nobody stated."""
    if table.encoding is not None or assumed.casefold() == UTF8:
        return
    texts = (values for values in columns.values() if values.dtype.kind == "O")
    plain = all(text.isascii() for values in texts for text in values if isinstance(text, str))
    if not plain:
        what = (
            f"'{table.path}' does not say how its letters are stored; it was read as {assumed}, so letters "
            "with accents may be wrong."
        )
        remarks.append(
            ("encoding-assumed", "caution", what, f'If they are right, add: encoding = "{assumed}"')
        )


def decode_table(stored: bytes, table: LayerTable, remarks: list[Remark]) -> str:
    """Return a text table's letters: by the season's encoding, by its byte-order mark, as UTF-8, or assumed.

    Raises
    ------
    LayerRefused
        The bytes are not in the encoding the season states, or the mark says.
    """
    mark = next((name for sign, name in _BYTE_ORDER_MARKS.items() if stored.startswith(sign)), None)
    try:
        return stored.decode(table.encoding or mark or UTF8).removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}")
    except UnicodeDecodeError as error:
        line = f"line {1 + stored.count(NEW_LINE, 0, error.start):,}"
        if table.encoding or mark:
            refuse_encoding(error, table, line)
        what = (
            f"'{table.path}' is not UTF-8 ({line}); it was read as Windows-1252, so letters with accents may "
            "be wrong."
        )
        fix = 'Save the table as CSV UTF-8, or state what it is, for instance: encoding = "cp1252"'
        remarks.append(("encoding-assumed", "caution", what, fix))
        return stored.decode("cp1252", errors="replace")


def refuse_encoding(error: UnicodeDecodeError, table: LayerTable, where: str = "") -> NoReturn:
    """Refuse a file whose bytes are not in the encoding it or the season claims."""
    who = "the season" if table.encoding else "the file itself"
    name = table.encoding or error.encoding
    what = f"{who} says that '{table.path}' is stored in {name}, but {where or 'a text'} of it is not."
    fix = 'State the encoding it was saved in, for instance: encoding = "cp1252"'
    raise LayerRefused(what, code="encoding-wrong", fix=fix) from error
