"""Why a file cannot be read, in words for people: the libraries' own are for programmers."""

import json
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from xml.etree import ElementTree

from geo_scout.layers.noticed import LayerRefused, first_words
from geo_scout.layers.opening.first_bytes import fix_of_kind, read_kind_of_file
from geo_scout.model.file_signatures import FLATGEOBUF, PARQUET, SHAPEFILE, SQLITE, ZIPPED
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

# What a file of each ending should be, and what its first bytes may say then.
_KINDS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    ".gpkg": ("a GeoPackage", (SQLITE,)),
    ".sqlite": ("an SQLite database", (SQLITE,)),
    ".shp": (SHAPEFILE, (SHAPEFILE,)),
    ".geojson": ("a GeoJSON", ()),
    ".json": ("a GeoJSON", ()),
    ".fgb": (FLATGEOBUF, (FLATGEOBUF,)),
    ".kml": ("a KML", ()),
    ".kmz": ("a KMZ", (ZIPPED,)),
    ".gpx": ("a GPX", ()),
    ".gml": ("a GML", ()),
    ".xlsx": ("an Excel workbook", (ZIPPED,)),
    ".xlsm": ("an Excel workbook", (ZIPPED,)),
    ".ods": ("an OpenDocument sheet", (ZIPPED,)),
    ".zip": ("a zip file", (ZIPPED,)),
    ".parquet": (PARQUET, (PARQUET,)),
    ".geoparquet": (PARQUET, (PARQUET,)),
    ".gdb": ("a file geodatabase", ()),
}
_JSON, _XML = frozenset({".geojson", ".json"}), frozenset({".kml", ".gpx", ".gml"})
# What the reader says of files that are cut off or garbled; anything else it says is passed on.
_DAMAGED = (
    "not recognized",
    "malformed",
    "not a database",
    "Failed to read",
    "Fatal error",
    "ERROR parsing",
    "unzOpen",
)
# A larger text is not read a second time, only to say where it breaks.
_TEXT_BYTES = 50_000_000
_AGAIN = "Copy or download it again; if a program still opens it, save it anew there."


def read_why_unreadable(error: Exception, place: Path | str, table: LayerTable) -> LayerRefused:
    """Return the refusal of a file that the reader could not read.

    Parameters
    ----------
    error
        What the reader raised.
    place
        The file, or where it is inside a zip file.
    table
        The layer's settings.
    """
    path, suffix = Path(place), PurePosixPath(str(place)).suffix.casefold()
    noun, kinds = _KINDS.get(suffix, ("", ()))
    kind = read_kind_of_file(path)
    if kind and kind not in kinds:
        return wrong_kind(table, noun, kind)
    said = first_words(error, place, table.path)
    if not any(sign in said for sign in _DAMAGED):
        what = f"'{table.path}' cannot be read as a layer: {said.rstrip('.')}."
        fix = "Open it in your GIS and save it anew, for instance as GeoPackage."
        return LayerRefused(what, code="file-unreadable", fix=fix)
    if path.is_dir():
        inside = listed(sorted(item.name for item in path.iterdir()), 5) or "nothing"
        what = f"'{table.path}' is a folder that is not {noun or 'a map'}; it holds {inside}."
        return LayerRefused(what, code="file-unreadable", fix="Give the map in it, or save the map anew.")
    if not noun:
        what = f"'{table.path}' is no map or table of a kind that is read."
        fix = "Save it as GeoPackage, shapefile or GeoJSON; a table as .csv or .xlsx."
        return LayerRefused(what, code="file-unreadable", fix=fix)
    at = _read_where_text_breaks(path, suffix)
    is_sure = kind or str(place).startswith("/vsi")
    other = "" if is_sure else f"is not {noun}, "
    what = f"'{table.path}' {other}is damaged, or only a part of it is there{at}."
    return LayerRefused(what, code="file-unreadable", fix=_AGAIN)


def wrong_kind(table: LayerTable, noun: str, kind: str) -> LayerRefused:
    """Return the refusal of a file that is something else than its ending (``noun``, if known) says."""
    what = f"'{table.path}' is {kind}, by its first bytes; that is not read."
    if noun:
        what = f"'{table.path}' is not {noun}; by its first bytes it is {kind}."
    return LayerRefused(what, code="file-unreadable", fix=fix_of_kind(kind))


def _read_where_text_breaks(path: Path, suffix: str) -> str:
    """Return where a JSON or XML text stops making sense; empty where it does not, is no text or is large."""
    if not path.is_file() or path.stat().st_size > _TEXT_BYTES:
        return ""
    try:
        if suffix in _JSON:
            json.loads(path.read_bytes())
        elif suffix in _XML:
            ElementTree.parse(path)
    except json.JSONDecodeError as error:
        return f": it makes no sense from line {error.lineno:,}, column {error.colno:,} on"
    except ElementTree.ParseError as error:
        line, column = error.position
        return f": it makes no sense from line {line:,}, column {column + 1:,} on"
    except (OSError, ValueError, RecursionError):
        return ""
    return ""
