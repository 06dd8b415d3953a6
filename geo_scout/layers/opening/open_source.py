"""A layer's path becomes an opened source, whichever kind of file it is."""

from pathlib import Path

import pyogrio

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.archives import ARCHIVE_SUFFIXES, find_in_archive
from geo_scout.layers.opening.csv_files import CSV_SUFFIXES, open_csv
from geo_scout.layers.opening.file_sizes import refuse_too_large
from geo_scout.layers.opening.ogr_files import open_ogr
from geo_scout.layers.opening.shapefiles import read_whether_whole
from geo_scout.layers.opening.sources import Remark, Source
from geo_scout.layers.opening.spreadsheets import SPREADSHEET_SUFFIXES, open_spreadsheet
from geo_scout.model.layer_table import LayerTable

_ARROW_FILES = {".parquet": "Parquet", ".geoparquet": "Parquet", ".feather": "Arrow", ".arrow": "Arrow"}


def open_source(path: Path, table: LayerTable) -> Source:
    """Return the opened file of a vector layer or a table.

    Parameters
    ----------
    path
        The file.
    table
        The layer's settings, which name the file in messages.

    Raises
    ------
    LayerRefused
        There is no such file, it is empty, cut off or too large, or it cannot be read as a vector layer.
    """
    if not path.exists():
        what = f"there is no file '{table.path}' in the season file's folder."
        raise LayerRefused(
            what, code="file-missing", fix="Check the spelling of `path`, or put the file there."
        )
    suffix = path.suffix.casefold()
    _refuse_without_driver(suffix, table)
    if path.is_file() and not path.stat().st_size:
        what, fix = f"'{table.path}' is empty: it has 0 bytes.", "Copy or download it again, or save it anew."
        raise LayerRefused(what, code="file-unreadable", fix=fix)
    refuse_too_large(path, table)
    read_whether_whole(path, table)
    if suffix in CSV_SUFFIXES:
        return open_csv(path, table)
    if suffix in SPREADSHEET_SUFFIXES:
        return open_spreadsheet(path, table)
    remarks: list[Remark] = []
    if suffix in ARCHIVE_SUFFIXES and path.is_file():
        return open_ogr(find_in_archive(path, table, remarks), table, remarks)
    return open_ogr(path, table, remarks)


def _refuse_without_driver(suffix: str, table: LayerTable) -> None:
    """Refuse the one common kind of map that the usual packages of GDAL cannot read."""
    driver = _ARROW_FILES.get(suffix)
    if driver is None or driver in pyogrio.list_drivers():
        return
    what = (
        f"'{table.path}' is a {driver} file, and the GDAL that came with this installation has no driver for "
        "it."
    )
    fix = (
        "Save it as GeoPackage: in a GIS, or where geopandas and pyarrow are installed by "
        'geopandas.read_parquet("FILE.parquet").to_file("FILE.gpkg")'
    )
    raise LayerRefused(what, code="driver-missing", fix=fix)
