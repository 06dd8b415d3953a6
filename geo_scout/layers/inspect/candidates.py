"""Which of the files a user names can be layers at all."""

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from geo_scout.model.draft import Unused

What = Literal["raster", "table", "vector"]

_RASTERS = frozenset(
    {".tif", ".tiff", ".img", ".asc", ".bil", ".flt", ".vrt", ".nc", ".hgt", ".dem", ".jp2", ".grd",
     ".bip", ".bsq"}
)  # fmt: skip
_TABLES = frozenset({".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".ods"})
_VECTORS = frozenset(
    {".shp", ".gpkg", ".geojson", ".json", ".fgb", ".kml", ".kmz", ".gpx", ".gml", ".tab", ".mif",
     ".sqlite", ".gdb", ".zip"}
)  # fmt: skip
# Parts of other files, and what GIS programs leave beside layers: nothing to tell about.
_BESIDE = (
    ".shx", ".dbf", ".prj", ".cpg", ".sbn", ".sbx", ".qix", ".qpj", ".shp.xml", ".aux.xml", ".ovr",
    ".tfw", ".tifw", ".hdr", ".stx", ".clr", ".blw", ".dat", ".map", ".id", ".ind", ".mid", ".qmd",
    ".qml", ".lyr", ".lyrx", ".gpkg-wal", ".gpkg-shm", ".cst", ".msk", ".wld", ".csvt",
)  # fmt: skip
_SAVE_FIRST = {
    ".xls": "save it as .xlsx or .csv first.",
    ".parquet": "save it as GeoPackage first.",
    ".gz": "unpack it first.",
    ".7z": "unpack it first.",
    ".pdf": "a document cannot be read as a layer.",
    ".doc": "a document cannot be read as a layer.",
    ".docx": "a document cannot be read as a layer.",
}
# What a run of ours leaves in its outputs folder.
_RESULTS = {"manifest.json", "run_log.json"}
FILES_AT_MOST = 2_000


@dataclass(frozen=True, slots=True)
class Candidate:
    """A file that can be a layer.

    Parameters
    ----------
    path
        The file, or the folder that counts as one (``.gdb``).
    what
        How to open it.
    """

    path: Path
    what: What


def list_candidates(named: Iterable[Path], draft_folder: Path) -> tuple[list[Candidate], list[Unused]]:
    """Return the files to look at, in the order of their names, and those left alone with the reason.

    Folders are searched to the bottom. Hidden files, files that belong to others (``.dbf``, ``.prj``) and
    the draft's own folder are passed over.

    Parameters
    ----------
    named
        Files and folders as the user named them.
    draft_folder
        Where the draft will be written.
    """
    candidates: dict[Path, Candidate] = {}
    alone: dict[Path, Unused] = {}
    for item in named:
        is_folder = item.is_dir() and item.suffix.casefold() != ".gdb"
        for path, trouble in _inside(item, draft_folder) if is_folder else [(item, "")]:
            what = _what(path)
            why = trouble or _why_not(path, what, is_named=not is_folder)
            if why:
                alone.setdefault(path, Unused(path, "", why))
            elif what is not None:
                candidates.setdefault(path, Candidate(path, what))
    listed = sorted(candidates.values(), key=lambda one: one.path.as_posix())
    for one in listed[FILES_AT_MOST:]:
        alone[one.path] = Unused(one.path, "", f"only the first {FILES_AT_MOST:,} files were looked at.")
    return listed[:FILES_AT_MOST], sorted(alone.values(), key=lambda one: one.path.as_posix())


def _inside(folder: Path, draft_folder: Path) -> Iterator[tuple[Path, str]]:
    """Yield each file of a folder; a folder that cannot be listed comes with its trouble."""
    troubles: list[OSError] = []
    away = draft_folder.resolve()
    for above, folders, files in os.walk(folder, onerror=troubles.append):
        here = Path(above)
        geodatabases = [name for name in folders if name.casefold().endswith(".gdb")]
        folders[:] = sorted(
            name
            for name in folders
            if not name.startswith(".") and name not in geodatabases and (here / name).resolve() != away
        )
        if set(files) >= _RESULTS:
            yield here, "these are the results of an earlier run."
            folders.clear()
            continue
        for name in sorted([*files, *geodatabases]):
            if not name.startswith((".", "~$")) and not _is_beside(here / name):
                yield here / name, ""
    for trouble in troubles:
        yield Path(trouble.filename), f"this folder cannot be listed: {trouble.strerror}."


def _is_beside(path: Path) -> bool:
    return path.name.casefold().endswith(_BESIDE)


def _what(path: Path) -> What | None:
    ending = path.suffix.casefold()
    if ending in _RASTERS:
        return "raster"
    if ending in _TABLES:
        return "table"
    return "vector" if ending in _VECTORS else None


def _why_not(path: Path, what: What | None, *, is_named: bool) -> str:
    """Return why a file cannot be looked at; empty when it can."""
    if "\\" in path.name or any(ord(letter) < 32 or ord(letter) == 127 for letter in path.as_posix()):
        return "its name holds a backslash or a control character; give it another name."
    if any(0xD800 <= ord(letter) <= 0xDFFF for letter in path.as_posix()):
        return "its name cannot be written as text; give it another name."
    if not path.exists():
        return "there is no file with this name." if is_named else "this link leads to no file."
    if path.is_dir():
        return "" if path.suffix.casefold() == ".gdb" else "this is a folder."
    if not path.is_file():
        return "this is no ordinary file."
    ending = path.suffix.casefold()
    if what is None:
        return _SAVE_FIRST.get(
            ending,
            f"files ending in '{ending}' are not layers."
            if ending
            else "its name has no ending that tells its kind.",
        )
    return "the file is empty." if path.stat().st_size == 0 else ""
