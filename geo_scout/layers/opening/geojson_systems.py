"""A GeoJSON that names a reference system nobody knows: the reader takes it for WGS 84 without a word."""

import re
from pathlib import Path

from geo_scout.layers.opening.sources import Remark
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.model.layer_table import LayerTable

GEOJSON_SUFFIXES = frozenset({".geojson", ".json"})
_ENDS_BYTES = 4096
_NAMED = re.compile(r'"crs"\s*:\s*\{[^{}]*\{[^{}]*"(?:name|href|url)"\s*:\s*"([^"{}]*)"')


def read_unknown_system(path: Path, table: LayerTable, remarks: list[Remark]) -> None:
    """Add a caution where the file names a system that cannot be looked up.

    The name stands near the beginning or the end of the file; nothing else of it is read here.

    References
    ----------
    The GeoJSON Format Specification, 2008, section 3: the member "crs". RFC 7946, 2016, took it away:
    coordinates are WGS 84.
    """
    with path.open("rb") as stream:
        first = stream.read(_ENDS_BYTES)
        stream.seek(max(0, path.stat().st_size - _ENDS_BYTES))
        ends = (first + b" " + stream.read()).decode("utf-8", errors="replace")
    named = _NAMED.search(ends)
    if named is None or crs_of_file(named[1]) is not None:
        return
    what = (
        f"'{table.path}' names a coordinate reference system that is not known ('{named[1]}'); it was read "
        "as WGS 84, which GeoJSON is by rule."
    )
    fix = "If its coordinates are in another system, save it as GeoPackage in that system."
    remarks.append(("crs-not-known", "caution", what, fix))
