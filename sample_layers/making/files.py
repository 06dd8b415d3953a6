"""Everything written to disk, in mixed formats and coordinate systems; no byte depends on the day."""

import csv
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import geopandas
import numpy as np
import pyogrio
import rasterio
from numpy.typing import NDArray
from rasterio import Affine

from making.climate import CELLS_PER_DEGREE, Climate
from making.frame import GEOGRAPHIC_CRS, PLANE_CRS, Floats

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
Table = dict[str, list[object]]


def set_clock() -> None:
    """Tell the GeoPackage driver what day it is; without this the files differ from run to run."""
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": "2026-11-01T00:00:00Z"})


def write_layer(
    path: Path, layer: str, table: Table, crs: str = PLANE_CRS, geometry_type: str | None = None
) -> None:
    """Write one layer of a GeoPackage; `table` holds its geometries on the plane under "geometry"."""
    frame = geopandas.GeoDataFrame(table, geometry="geometry", crs=PLANE_CRS)
    if crs != PLANE_CRS:
        frame = frame.to_crs(crs)
        frame["geometry"] = frame.geometry.set_precision(1e-7 if crs == GEOGRAPHIC_CRS else 0.01)
    chosen = {} if geometry_type is None else {"geometry_type": geometry_type}
    pyogrio.write_dataframe(frame, path, layer=layer, driver="GPKG", append=path.exists(), **chosen)


def write_geojson(path: Path, table: Table) -> None:
    """Write a GeoJSON file (RFC 7946: longitude and latitude, six decimals)."""
    frame = geopandas.GeoDataFrame(table, geometry="geometry", crs=PLANE_CRS).to_crs(GEOGRAPHIC_CRS)
    frame["geometry"] = frame.geometry.set_precision(1e-6)
    features = frame.to_geo_dict(drop_id=True)["features"]
    lines = ",\n".join(json.dumps(feature, ensure_ascii=False, allow_nan=False) for feature in features)
    text = f'{{"type": "FeatureCollection", "features": [\n{lines}\n]}}\n'
    path.write_text(text, encoding="utf-8", newline="\n")


def write_metres(path: Path, elevation_m: Floats, west_m: float, north_m: float, cell_m: float) -> None:
    """Write elevations in whole metres on the plane, in tiles where the raster is large."""
    values = elevation_m.astype(np.int16)
    tiles = {"tiled": True, "blockxsize": 256, "blockysize": 256} if min(values.shape) > 256 else {}
    grid = {"crs": PLANE_CRS, "transform": Affine(cell_m, 0, west_m, 0, -cell_m, north_m)}
    _write_heights(path, values, "elevation [m]", predictor=2, **grid, **tiles)


def _write_heights(path: Path, values: NDArray[np.int16], description: str, **profile: Any) -> None:
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        height=values.shape[0],
        width=values.shape[1],
        count=1,
        dtype="int16",
        nodata=-32768,
        compress="deflate",
        zlevel=9,
        **profile,
    ) as file:
        file.write(values, 1)
        file.set_band_description(1, description)


def write_climate_bands(
    path: Path, corner: tuple[float, float, float, float], values: Floats, what: str, scale: float | None
) -> None:
    """Write twelve bands; with a scale as whole numbers, without as decimals.

    `corner` is west edge, north edge, step eastward and step southward [deg].
    """
    stored = np.round(values / scale).astype(np.int16) if scale else values.astype(np.float32)
    west_deg, north_deg, east_step_deg, south_step_deg = corner
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        height=stored.shape[1],
        width=stored.shape[2],
        count=12,
        dtype=stored.dtype,
        crs=GEOGRAPHIC_CRS,
        transform=Affine(east_step_deg, 0, west_deg, 0, -south_step_deg, north_deg),
        nodata=-9999,
        compress="deflate",
        zlevel=9,
    ) as file:
        file.write(stored)
        for band, month in enumerate(MONTHS, start=1):
            file.set_band_description(band, f"{month}, {what}")
        if scale:
            file.scales = (scale,) * 12


def write_climate(folder: Path, climate: Climate) -> None:
    """Write the three climate rasters: temperatures as scaled whole numbers, precipitation as decimals."""
    corner = (climate.west_deg, climate.north_deg, 1 / CELLS_PER_DEGREE, 1 / CELLS_PER_DEGREE)
    write_climate_bands(folder / "tmin.tif", corner, climate.tmin_degc, "mean daily minimum [degC]", 0.1)
    write_climate_bands(folder / "tmax.tif", corner, climate.tmax_degc, "mean daily maximum [degC]", 0.1)
    write_climate_bands(folder / "precipitation.tif", corner, climate.precipitation_mm, "sum [mm]", None)

    write_cell_heights(folder / "climate_elevation.tif", corner, climate.elevation_m)


def write_cell_heights(path: Path, corner: tuple[float, float, float, float], elevation_m: Floats) -> None:
    """Write the mean elevation of the climate cells in whole metres, on the grid of the climate."""
    west_deg, north_deg, east_step_deg, south_step_deg = corner
    stored = np.round(elevation_m).astype(np.int16)
    transform = Affine(east_step_deg, 0, west_deg, 0, -south_step_deg, north_deg)
    description = "mean elevation of the climate cell [m]"
    _write_heights(path, stored, description, crs=GEOGRAPHIC_CRS, transform=transform)


def write_weather(
    path: Path, rows: Iterable[tuple[str, str, str]], place: tuple[str, float, float, int]
) -> None:
    """Write a station's days as a text table; where it stands is repeated in every row."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("station", "longitude_deg", "latitude_deg", "elevation_m", "date", "tmin", "tmax"))
        writer.writerows((*place, *row) for row in rows)


def write_truth(path: Path, rows: list[tuple[str, str, str, str, str]]) -> None:
    """Write what truly became of each release; for tests only, the program never reads it."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("release_id", "agent", "truly_established", "year_lost", "present_now"))
        writer.writerows(rows)
