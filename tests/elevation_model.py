"""A real elevation model from the installed matplotlib, where it truly lies, as rasters on disk.

3 arc-seconds around Jacksboro, Tennessee, whole metres. The bounds in the file are wrong: they give the
northern edge as 36.73292 N with the southern one as 36.44625 N, but the northern edge is at 36.44625 N and the
rows run south from there, as elevations of other origin show.
"""

import hashlib
import importlib.metadata
from pathlib import Path

import numpy as np
import rasterio
from affine import Affine
from pyproj import CRS
from rasterio.warp import Resampling, calculate_default_transform, reproject

from geo_scout.model.layers import RasterLayer

FILE = "matplotlib/mpl-data/sample_data/jacksboro_fault_dem.npz"
HEAD = "d493f50a33e82a44"
CELL_DEG = 3 / 3600
GEOGRAPHIC = Affine(CELL_DEG, 0.0, -84.41375, 0.0, -CELL_DEG, 36.44625)
NODATA = -9999.0


def elevations_m() -> np.ndarray:
    path = Path(str(importlib.metadata.distribution("matplotlib").locate_file(FILE)))
    assert hashlib.sha256(path.read_bytes()).hexdigest().startswith(HEAD)
    with np.load(path) as file:
        return np.asarray(file["elevation"])


def write(path: Path, cells_m: np.ndarray, transform: Affine, crs: int | str) -> RasterLayer:
    """Write elevations and return their description."""
    profile = {"driver": "GTiff", "count": 1, "dtype": cells_m.dtype, "crs": crs, "transform": transform}
    height, width = cells_m.shape
    nodata = NODATA if cells_m.dtype == np.float32 else None
    with rasterio.open(path, "w", height=height, width=width, nodata=nodata, **profile) as file:
        file.write(cells_m, 1)
    one = (1.0,)
    return RasterLayer(
        "elevation", (path,), ("elevation_m",), CRS.from_user_input(crs), transform, width, height,
        (nodata,), one, (0.0,),
    )  # fmt: skip


def write_projected(
    path: Path, cells_m: np.ndarray | None = None, cell_m: float = 90.0, crs: str = "EPSG:32616"
) -> RasterLayer:
    """Write elevations on the grid of the model projected, bilinear."""
    cells = (elevations_m() if cells_m is None else cells_m).astype(np.float32)
    height, width = cells.shape
    west, north = GEOGRAPHIC.c, GEOGRAPHIC.f
    bounds = (west, north - height * CELL_DEG, west + width * CELL_DEG, north)
    transform, width, height = calculate_default_transform(
        "EPSG:4326", crs, width, height, *bounds, resolution=cell_m
    )
    moved = np.full((height, width), NODATA, dtype=np.float32)
    reproject(cells, moved, src_transform=GEOGRAPHIC, src_crs="EPSG:4326", dst_transform=transform, dst_crs=crs,
              dst_nodata=NODATA, resampling=Resampling.bilinear)  # fmt: skip
    return write(path, moved, transform, crs)
