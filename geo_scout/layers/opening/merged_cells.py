"""Cells that a spreadsheet shows as one: which they are. GDAL tells only the first of them."""

import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from xml.etree import ElementTree

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})")


@dataclass(frozen=True)
class MergedCells:
    """A block of cells shown as one; rows and columns count from 0, the last ones included."""

    reference: str
    first_row: int
    last_row: int
    first_column: int
    last_column: int


def read_merged_cells(path: Path, sheet: str) -> list[MergedCells]:
    """Return the merged blocks of a sheet of an .xlsx file; none where its parts are not as expected."""
    try:
        with zipfile.ZipFile(path) as packed:
            part = _part_of(packed, sheet)
            return list(_blocks(packed, part)) if part else []
    except (zipfile.BadZipFile, ElementTree.ParseError, KeyError, OSError):
        return []


def _part_of(packed: zipfile.ZipFile, sheet: str) -> str:
    """Return the file in the package that holds a sheet."""
    workbook = ElementTree.fromstring(packed.read("xl/workbook.xml"))
    relations = ElementTree.fromstring(packed.read("xl/_rels/workbook.xml.rels"))
    targets = {item.get("Id"): item.get("Target", "") for item in relations}
    for item in workbook.iter(f"{_MAIN}sheet"):
        if item.get("name") == sheet:
            target = targets.get(item.get(_RELATION), "")
            return target.removeprefix("/") if target.startswith("/") else str(PurePosixPath("xl", target))
    return ""


def _blocks(packed: zipfile.ZipFile, part: str) -> Iterator[MergedCells]:
    with packed.open(part) as stream:
        for _, item in ElementTree.iterparse(stream):
            if item.tag == f"{_MAIN}mergeCell":
                reference = item.get("ref", "")
                found = _REFERENCE.fullmatch(reference)
                if found is not None:
                    first, last = _column(found[1]), _column(found[3])
                    yield MergedCells(reference, int(found[2]) - 1, int(found[4]) - 1, first, last)
            elif item.tag == f"{_MAIN}row":
                # Rows come before the merged cells and are not needed: without this they would pile up.
                item.clear()


def _column(letters: str) -> int:
    """Return the position of a column from 0: A is 0, AA is 26."""
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - ord("A") + 1
    return number - 1
