"""Shapefiles are several files: whether those are all there, and as long as they say they are."""

from pathlib import Path

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.digests import files_of
from geo_scout.layers.opening.first_bytes import read_kind_of_file
from geo_scout.layers.opening.unreadable import wrong_kind
from geo_scout.model.file_signatures import SHAPEFILE
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted

_HEAD_BYTES = 100
_BYTES_PER_WORD = 2
_AGAIN = "Copy all files of the shapefile again: .shp, .shx, .dbf and .prj."


def read_whether_whole(path: Path, table: LayerTable) -> None:
    """Refuse what is no shapefile, has no index, or has parts that are shorter than they say themselves.

    A part that was cut off would otherwise be read as shapes that are missing and cells that are blank.

    Raises
    ------
    LayerRefused
        A part is missing or cut off.

    References
    ----------
    ESRI Shapefile Technical Description, 1998: the length of a .shp, in words of two bytes, stands at byte
    24. The dBASE table states its number of rows at byte 4, and the lengths of its head and of a row at
    bytes 8 and 10.
    """
    if path.suffix.casefold() != ".shp" or not path.is_file():
        return
    kind = read_kind_of_file(path)
    if kind and kind != SHAPEFILE:
        raise wrong_kind(table, SHAPEFILE, kind)
    parts = {part.suffix.casefold(): part for part in files_of(path)}
    if ".shx" not in parts:
        what = f"'{table.path}' has no '{path.stem}.shx' beside it, which says where each shape begins."
        fix = "Put it beside the .shp, or open the shapefile in your GIS and save it anew."
        raise LayerRefused(what, code="file-unreadable", fix=fix)
    for suffix, length in ((".shp", _stated_shapes), (".dbf", _stated_table)):
        part = parts.get(suffix)
        if part is None:
            continue
        with part.open("rb") as stream:
            stated, there = length(stream.read(_HEAD_BYTES)), part.stat().st_size
        if there < stated:
            name = table.path if suffix == ".shp" else part.name
            what = f"'{name}' is cut off: it should have {counted(stated, 'byte')} and has {there:,}."
            raise LayerRefused(what, code="file-unreadable", fix=_AGAIN)


def _stated_shapes(head: bytes) -> int:
    return int.from_bytes(head[24:28], "big") * _BYTES_PER_WORD


def _stated_table(head: bytes) -> int:
    rows, of_head, of_row = (int.from_bytes(head[at:to], "little") for at, to in ((4, 8), (8, 10), (10, 12)))
    return of_head + rows * of_row
