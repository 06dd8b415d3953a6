"""All result layers in one GeoPackage, and the two rankings as GeoJSON."""

import datetime as dt
import errno
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import geopandas as gpd
import pyogrio
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError

from geo_scout.outputs.geojson import geojson_text

GEOMETRY_OF_LAYER = {
    "release_sites": "MultiPolygon",
    "sources": "MultiPolygon",
    "patches": "MultiPolygon",
    "districts": "MultiPolygon",
    "releases": "Point",
    "visits": "Point",
    "crew_bases": "Point",
    "findings": "Point",
    "populations": "Unknown",
}
# What SQLite says of a disk that takes no more, and how much is written to find out where it says nothing.
_FULL = ("disk is full", "disk I/O error")
_PROBE_BYTES = 1 << 22


@contextmanager
def _set_up(as_of: dt.date) -> Iterator[None]:
    """Make GDAL stamp files with the season's clock, so that equal input makes equal bytes.

    SQLite need not wait for the disk after every layer, nine tenths of the time: the file is in a folder
    that is swapped in when it is whole.
    """
    settings = {"OGR_CURRENT_DATE": f"{as_of:%Y-%m-%d}T00:00:00.000Z", "OGR_SQLITE_SYNCHRONOUS": "OFF"}
    before = {name: pyogrio.get_gdal_config_option(name) for name in settings}
    pyogrio.set_gdal_config_options(settings)
    try:
        yield
    finally:
        pyogrio.set_gdal_config_options(before)


def write_geopackage(path: Path, layers: Mapping[str, gpd.GeoDataFrame], as_of: dt.date) -> None:
    """Write every layer into one GeoPackage.

    Raises
    ------
    OSError
        The disk takes no more.
    """
    with _set_up(as_of), _full_disk_named(path):
        for name, frame in layers.items():
            pyogrio.write_dataframe(
                frame,
                path,
                layer=name,
                driver="GPKG",
                geometry_type=GEOMETRY_OF_LAYER[name],
                promote_to_multi=GEOMETRY_OF_LAYER[name] == "MultiPolygon",
                append=path.exists(),
            )


def write_geojson(path: Path, layer: gpd.GeoDataFrame) -> None:
    """Write one layer as GeoJSON (RFC 7946): WGS 84, longitude first, outer rings anticlockwise.

    Raises
    ------
    OSError
        The disk takes no more.
    """
    path.write_text(geojson_text(layer), encoding="utf-8", newline="\n")


@contextmanager
def _full_disk_named(path: Path) -> Iterator[None]:
    """Raise what the disk says where GDAL only says that something could not be written."""
    try:
        yield
    except (DataSourceError, DataLayerError, FeatureError) as error:
        if any(words in str(error) for words in _FULL):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path)) from error
        _write_probe(path)
        raise


def _write_probe(path: Path) -> None:
    """Write on at the end of a file that is given up anyway; a disk that takes no more says so."""
    with path.open("ab") as stream:
        stream.write(bytes(_PROBE_BYTES))
