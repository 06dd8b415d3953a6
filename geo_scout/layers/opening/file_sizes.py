"""How large a layer's file is, unpacked, before a byte of it is read."""

import zipfile
from pathlib import Path

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.digests import files_of
from geo_scout.model.layer_table import LayerTable

_BYTES_PER_MB = 1_000_000


def refuse_too_large(path: Path, table: LayerTable) -> None:
    """Refuse a file that is larger than the layer's limit; a packed file counts as it unpacks.

    A spreadsheet, a KMZ and a zip are packed files: a few kilobytes can hold gigabytes, which the list of
    contents at their end states.

    Raises
    ------
    LayerRefused
        The file is larger than ``max_size_mb``.
    """
    packed = unpacked_bytes(path)
    size = packed if packed is not None else sum(file.stat().st_size for file in files_of(path))
    if size <= table.max_size_mb * _BYTES_PER_MB:
        return
    verb = "unpacks to" if packed is not None else "has"
    what = (
        f"'{table.path}' {verb} {size / _BYTES_PER_MB:,.1f} MB; the limit is {table.max_size_mb:,g} MB "
        "(max_size_mb). Nothing of it was read."
    )
    fix = "Save the part that the season needs, or raise max_size_mb if the machine has the memory for it."
    raise LayerRefused(what, code="file-too-large", fix=fix)


def unpacked_bytes(path: Path) -> int | None:
    """Return how many bytes a packed file holds by its own list of contents; None for other files."""
    if not path.is_file() or not zipfile.is_zipfile(path):
        return None
    try:
        with zipfile.ZipFile(path) as packed:
            return sum(member.file_size for member in packed.infolist())
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        return None
