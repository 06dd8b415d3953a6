"""Layers written in each kind of file that geo_scout reads: maps, tables, rasters."""

import csv
import datetime as dt
import json
import warnings
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import rasterio
import shapely
from openpyxl import Workbook
from rasterio.errors import NotGeoreferencedWarning

from tests.fuzz.cut_down import Cells

DRIVERS = {
    ".gpkg": "GPKG",
    ".shp": "ESRI Shapefile",
    ".zip": "ESRI Shapefile",
    ".fgb": "FlatGeobuf",
    ".kml": "LIBKML",
    ".kmz": "LIBKML",
    ".gml": "GML",
    ".tab": "MapInfo File",
    ".gdb": "OpenFileGDB",
    ".sqlite": "SQLite",
}
TABLES = (".csv", ".xlsx", ".ods")
# A fixed time stamp, so that the same files come out each time.
_PACKED_ON = (2026, 11, 1, 0, 0, 0)


@dataclass(frozen=True)
class MapFile:
    """One vector layer and the file that holds it.

    Parameters
    ----------
    layer
        Name in the season file.
    path
        File, relative to the season file.
    rows
        Its columns as the file names them; shapes, too, unless it is a table.
    inside
        Layer or sheet inside the file.
    delimiter
        Of a text table.
    """

    layer: str
    path: str
    rows: pd.DataFrame
    inside: str = ""
    delimiter: str = ","

    @property
    def suffix(self) -> str:
        """Ending of the file's name."""
        return Path(self.path).suffix


@dataclass(frozen=True)
class RasterFile:
    """One raster file."""

    path: str
    cells: Cells


def write_map(folder: Path, file: MapFile, rows: pd.DataFrame) -> None:
    """Write rows into the map's file; other layers in it stay."""
    path = folder / file.path
    path.parent.mkdir(parents=True, exist_ok=True)
    if file.suffix == ".csv":
        _write_csv(path, rows, file.delimiter)
    elif file.suffix == ".xlsx":
        _write_xlsx(path, rows, file.inside)
    elif file.suffix == ".geojson":
        _write_geojson(path, rows)
    elif file.suffix == ".zip":
        _write_zip(path, file, rows)
    else:
        _write_ogr(path, rows, file.inside)


def write_raster(folder: Path, path: str, cells: Cells) -> None:
    """Write a raster as GeoTIFF or, by the name of the file, as text."""
    target = folder / path
    target.parent.mkdir(parents=True, exist_ok=True)
    if target.suffix == ".asc":
        _write_asc(target, cells)
        return
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.Env(GDAL_PAM_ENABLED="NO"), rasterio.open(target, "w", **cells.profile) as file:
            file.write(cells.values)
            for name, value in cells.tags.items():
                setattr(file, name, value)


def pack(path: Path, members: Mapping[str, bytes]) -> None:
    """Write a zip file whose bytes depend on nothing but its members."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(zipfile.ZipInfo(name, _PACKED_ON), content, zipfile.ZIP_DEFLATED)


def unpacked(path: Path) -> dict[str, bytes]:
    """Return the members of a zip file."""
    with zipfile.ZipFile(path) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def _write_ogr(path: Path, rows: pd.DataFrame, inside: str) -> None:
    options = {"layer": inside} if inside else {}
    with warnings.catch_warnings():
        # Hostile values are told about by the writer; that is its business.
        warnings.simplefilter("ignore")
        pyogrio.write_dataframe(rows, path, driver=DRIVERS.get(path.suffix, "ODS"), **options)
    if path.suffix == ".gml":
        path.with_suffix(".xsd").unlink(missing_ok=True)
    if path.suffix in {".kmz", ".ods"}:
        pack(path, unpacked(path))


def _write_csv(path: Path, rows: pd.DataFrame, delimiter: str) -> None:
    with path.open("w", encoding="utf-8", newline="") as stream:
        table = csv.writer(stream, delimiter=delimiter)
        table.writerow(rows.columns)
        table.writerows([_as_cell(value) for value in row] for row in rows.itertuples(index=False))


def _write_xlsx(path: Path, rows: pd.DataFrame, sheet: str) -> None:
    book = Workbook()
    assert book.active is not None
    book.active.title = sheet or "Sheet1"
    book.active.append([str(name) for name in rows.columns])
    for row in rows.itertuples(index=False):
        book.active.append([_as_cell(value) for value in row])
    book.save(path)
    pack(path, unpacked(path))


def _write_geojson(path: Path, rows: pd.DataFrame) -> None:
    """Write by hand: OGR would refuse nan, infinity and lists, which other programs do write."""
    features = []
    for values, shape in zip(_records(rows), _shapes(rows), strict=True):
        geometry = None if shape is None else json.loads(_as_geojson(shape))
        features.append({"type": "Feature", "properties": values, "geometry": geometry})
    text = json.dumps({"type": "FeatureCollection", "features": features}, default=str)
    path.write_text(text, encoding="utf-8", errors="replace")


def _write_zip(path: Path, file: MapFile, rows: pd.DataFrame) -> None:
    unpacked_to = path.with_suffix("")
    unpacked_to.mkdir(exist_ok=True)
    _write_ogr(unpacked_to / f"{file.layer}.shp", rows, "")
    members = {part.name: part.read_bytes() for part in sorted(unpacked_to.iterdir())}
    for part in unpacked_to.iterdir():
        part.unlink()
    unpacked_to.rmdir()
    pack(path, members)


def _write_asc(path: Path, cells: Cells) -> None:
    grid = cells.profile["transform"]
    band = cells.values[0]
    head = {
        "ncols": band.shape[1],
        "nrows": band.shape[0],
        "xllcorner": grid.c,
        "yllcorner": grid.f + band.shape[0] * grid.e,
        "dx": grid.a,
        "dy": -grid.e,
        "nodata_value": cells.profile["nodata"],
    }
    lines = [f"{name} {value}" for name, value in head.items()]
    lines += [" ".join(f"{value:g}" for value in row) for row in band.tolist()]
    path.write_text("\n".join(lines) + "\n", encoding="ascii")


def _records(rows: pd.DataFrame) -> list[dict[str, Any]]:
    cells = rows.drop(columns="geometry", errors="ignore")
    names = [str(name) for name in cells.columns]
    return [
        {
            name: value.item() if isinstance(value, np.generic) else value
            for name, value in zip(names, row, strict=True)
        }
        for row in cells.itertuples(index=False, name=None)
    ]


def _shapes(rows: pd.DataFrame) -> list[Any]:
    return list(rows.geometry) if isinstance(rows, gpd.GeoDataFrame) else [None] * len(rows)


def _as_geojson(shape: Any) -> str:
    """Return the shape as GeoJSON; what shapely cannot write is built from its coordinates."""
    try:
        return str(shapely.to_geojson(shape))
    except (shapely.errors.GEOSException, ValueError, NotImplementedError):
        return json.dumps(shapely.geometry.mapping(shape))


def _as_cell(value: Any) -> Any:
    """Return what a spreadsheet program would store."""
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, str | int | float | bool | dt.datetime | dt.date | None):
        return value
    return str(value)
