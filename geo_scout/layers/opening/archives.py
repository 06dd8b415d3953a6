"""Zipped layers: the map inside is found and read where it is, without unpacking anything to disk."""

import zipfile
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.first_bytes import read_kind_of_file
from geo_scout.layers.opening.sources import Remark
from geo_scout.layers.opening.unreadable import wrong_kind
from geo_scout.model.file_signatures import ZIPPED
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

ARCHIVE_SUFFIXES = frozenset({".zip"})
_MAPS = frozenset(
    {".gpkg", ".shp", ".geojson", ".json", ".fgb", ".kml", ".gpx", ".gml", ".tab", ".mif", ".sqlite"}
)
_TABLES = frozenset({".csv", ".tsv", ".txt", ".xlsx", ".ods"})
_LOCKED = 0x1


def find_in_archive(path: Path, table: LayerTable, remarks: list[Remark]) -> str:
    """Return the place of the map in a zip file, as GDAL names it.

    The map whose name is the layer's is taken, else the first, which is said where there are several.

    Raises
    ------
    LayerRefused
        The file is no zip, is locked by a password, or holds no map.
    """
    members = _read_members(path, table)
    maps = _maps(members)
    if not maps:
        _refuse_without_map(members, table)
    named = [name for name in maps if table.layer is not None and PurePosixPath(name).stem == table.layer]
    chosen = (named or maps)[0]
    if len(maps) > 1 and not named:
        stems = [PurePosixPath(name).stem for name in maps]
        what = (
            f"'{table.path}' holds {len(maps)} maps ({listed(maps)}); '{chosen}' is the first and was read."
        )
        fix = f'To be sure of it, add: layer = "{stems[0]}"'
        remarks.append(("layer-chosen", "note", what, fix))
    return f"/vsizip/{path.as_posix()}/{chosen}"


def _read_members(path: Path, table: LayerTable) -> list[str]:
    try:
        with zipfile.ZipFile(path) as packed:
            members = packed.infolist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
        kind = read_kind_of_file(path)
        if kind not in {"", ZIPPED}:
            raise wrong_kind(table, "a zip file", kind) from error
        other = "" if kind else "is not a zip file, "
        what = f"'{table.path}' {other}is damaged, or only a part of it is there."
        fix = "Copy or download it again, or give the files in it."
        raise LayerRefused(what, code="file-unreadable", fix=fix) from error
    if any(member.flag_bits & _LOCKED for member in members):
        what = f"'{table.path}' is locked by a password."
        raise LayerRefused(what, code="file-unreadable", fix="Unpack it and give the files in it.")
    return [member.filename for member in members]


def _maps(members: Sequence[str]) -> list[str]:
    """Return the maps in a list of members; a file geodatabase is a folder."""
    folders = {
        part.as_posix()
        for name in members
        for part in PurePosixPath(name).parents
        if part.suffix.casefold() == ".gdb"
    }
    files = {name for name in members if PurePosixPath(name).suffix.casefold() in _MAPS}
    # Macs put a shadow of every file in a folder of this name.
    return sorted(name for name in folders | files if not name.startswith("__MACOSX/"))


def _refuse_without_map(members: Sequence[str], table: LayerTable) -> None:
    tables = [name for name in members if PurePosixPath(name).suffix.casefold() in _TABLES]
    if tables:
        what = (
            f"'{table.path}' holds a table ({listed(tables, 3)}) and no map; tables are not read from zip "
            "files."
        )
        raise LayerRefused(what, code="archive-without-map", fix="Unpack it and give the table itself.")
    inside = listed(list(members), 5) or "nothing"
    what = f"'{table.path}' holds no map that can be read; it holds {inside}."
    fix = "Pack a GeoPackage, or a shapefile with its .shp, .shx, .dbf and .prj."
    raise LayerRefused(what, code="archive-without-map", fix=fix)
