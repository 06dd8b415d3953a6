"""Which files were read, with their digests."""

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path

from geo_scout.model.layers import InputFile
from geo_scout.model.season import Season

_SIDECARS: dict[str, tuple[str, ...]] = {
    ".shp": (".shx", ".dbf", ".prj", ".cpg", ".sbn", ".sbx", ".qix"),
    ".tab": (".dat", ".map", ".id", ".ind"),
    ".mif": (".mid",),
}
_JOURNALS = ("-wal", "-shm")


def files_of(path: Path) -> list[Path]:
    """Return the files a vector layer is read from: itself, its sidecars, or a folder's files."""
    if path.is_dir():
        return sorted(file for file in path.rglob("*") if file.is_file())
    if not path.is_file():
        return []
    suffixes = _SIDECARS.get(path.suffix.lower(), ())
    beside = [
        file
        for file in path.parent.iterdir()
        if (file.stem == path.stem and file.suffix.lower() in suffixes)
        or file.name in {path.name + end for end in _JOURNALS}
    ]
    return [path, *sorted(beside)]


def read_digests(season: Season, paths: Iterable[Path]) -> tuple[InputFile, ...]:
    """Return each file once with its digest, sorted by name; the season file and profiles come along.

    Names are relative to the season file's folder with ``/`` between folders.
    """
    own = [season.path, *(season.file_of(name) for name in season.settings.season.agents)]
    by_name = {_name_from(season.folder, path): path for path in (*own, *paths) if path.is_file()}
    return tuple(read_digest(name, by_name[name]) for name in sorted(by_name))


def _name_from(folder: Path, path: Path) -> str:
    try:
        relative = os.path.relpath(path, folder)
    except ValueError:
        # Windows: another drive has no relative path.
        return path.as_posix()
    return Path(relative).as_posix()


def read_digest(name: str, path: Path) -> InputFile:
    """Return one file with its digest, under the name it is to have."""
    with path.open("rb") as stream:
        sha256 = hashlib.file_digest(stream, "sha256").hexdigest()
    return InputFile(name=name, sha256=sha256, size_bytes=path.stat().st_size)
