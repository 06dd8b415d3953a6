"""Small rasters written to disk for the tests of the zones room, and their descriptions."""

from pathlib import Path
from typing import Any

import numpy as np
import rasterio
from affine import Affine
from pyproj import CRS

from geo_scout.model.layers import RasterLayer

UTM = CRS.from_epsg(32612)
DEGREES = CRS.from_epsg(4326)
MONTHLY_UNIT = {"tmin": "degc", "tmax": "degc", "precipitation": "mm"}


def band_names(name: str, count: int) -> tuple[str, ...]:
    if name == "elevation":
        return ("elevation_m",)
    if name == "bioclim":
        return tuple(f"bio{number:02d}" for number in range(1, count + 1))
    return tuple(f"{name}_{month:02d}_{MONTHLY_UNIT[name]}" for month in range(1, 13))


def write_raster(
    folder: Path,
    cells: Any,
    name: str = "elevation",
    *,
    west: float = 0.0,
    north: float = 0.0,
    cell: float = 10.0,
    crs: CRS = UTM,
    scale: float = 1.0,
    offset: float = 0.0,
    bands: tuple[str, ...] = (),
    **profile: Any,
) -> RasterLayer:
    """Write bands of cells, north-west corner first, and return their description."""
    stored = np.asarray(cells)
    stored = stored[None] if stored.ndim == 2 else stored
    count, height, width = stored.shape
    transform = Affine(cell, 0.0, west, 0.0, -cell, north)
    path = folder / f"{name}.tif"
    options = {
        "driver": "GTiff",
        "dtype": stored.dtype,
        "crs": crs.to_wkt(),
        "transform": transform,
        **profile,
    }
    with rasterio.open(path, "w", count=count, height=height, width=width, **options) as file:
        file.write(stored)
    return RasterLayer(
        name=name,
        files=(path,),
        bands=bands or band_names(name, count),
        crs=crs,
        transform=transform,
        width=width,
        height=height,
        nodata=(profile.get("nodata"),) * count,
        scale=(scale,) * count,
        offset=(offset,) * count,
    )
