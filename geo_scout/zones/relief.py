"""The season's elevation for the map, warped to Web Mercator."""

import numpy as np
import rasterio
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS
from rasterio.enums import Resampling
from rasterio.vrt import WarpedVRT

from geo_scout.errors import InputMistakes
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.layers import TURN_DEG, LayerSet, RasterLayer
from geo_scout.model.zones import ReliefGrid
from geo_scout.zones.cells import damaged
from geo_scout.zones.longitudes import near_to

MERCATOR = CRS.from_epsg(3857)
LONGEST_SIDE_PX = 1600
MARGIN_SHARE = 0.08
# Web Mercator ends here, where the map is square.
MERCATOR_EDGE_DEG = 85.05


def read_relief(layers: LayerSet) -> ReliefGrid | None:
    """Return elevation around the season's area, at most 1,600 cells on the longer side.

    Parameters
    ----------
    layers
        The season's layers; the area is that of its districts, or of its infestations.

    Returns
    -------
    ReliefGrid or None
        None without an elevation raster, or where it does not reach the area.
    """
    if "elevation" not in layers.rasters:
        return None
    shown = layers.vectors.get("boundaries", layers.vectors["infestations"])
    west, south, east, north = (float(edge) for edge in shown.total_bounds)
    return warp_elevation(layers.rasters["elevation"], (west, south, east, north), layers.crs)


def warp_elevation(
    elevation: RasterLayer, bounds: tuple[float, float, float, float], crs: CRS
) -> ReliefGrid | None:
    """Return elevation warped to Web Mercator around the given bounds.

    Parameters
    ----------
    elevation
        The elevation raster.
    bounds
        West, south, east, north of the area to show, in ``crs``.
    crs
        CRS of the bounds.

    Raises
    ------
    InputMistakes
        A block of the file cannot be read.
    """
    area = _widen(transformer_between(crs, MERCATOR).transform_bounds(*bounds))
    turned = _turned_to(elevation, area)
    extent = _extent(elevation, turned)
    west, south = max(area[0], extent[0]), max(area[1], extent[1])
    east, north = min(area[2], extent[2]), min(area[3], extent[3])
    if west >= east or south >= north:
        return None
    native_m = _native_cell_m(elevation, extent)
    cell_m = max(native_m, max(east - west, north - south) / LONGEST_SIDE_PX)
    width, height = max(1, round((east - west) / cell_m)), max(1, round((north - south) / cell_m))
    transform = Affine((east - west) / width, 0, west, 0, -(north - south) / height, north)
    resampling = Resampling.average if cell_m > 1.5 * native_m else Resampling.bilinear
    stored = _read_warped(elevation, turned, transform, (height, width), resampling)
    # Infinite cells are missing, here as everywhere; one that only looks so may come of the scale.
    with np.errstate(over="ignore", invalid="ignore"):
        metres = (stored.astype(np.float64) * elevation.scale[0] + elevation.offset[0]).astype(np.float32)
    return ReliefGrid(np.where(np.isfinite(metres), metres, np.float32(np.nan)), transform)


def _read_warped(
    elevation: RasterLayer,
    turned: Affine,
    transform: Affine,
    shape: tuple[int, int],
    resampling: Resampling,
) -> NDArray[np.float32]:
    path = elevation.files[0]
    options = {"crs": "EPSG:3857", "transform": transform, "height": shape[0], "width": shape[1]}
    try:
        with (
            rasterio.Env(GDAL_PAM_ENABLED="NO"),
            rasterio.open(path) as file,
            WarpedVRT(
                file,
                src_crs=elevation.crs.to_wkt(),
                src_transform=turned,
                src_nodata=elevation.nodata[0],
                resampling=resampling,
                nodata=np.nan,
                dtype="float32",
                **options,
            ) as warped,
        ):
            stored: NDArray[np.float32] = warped.read(1)
    except rasterio.errors.RasterioIOError as error:
        raise InputMistakes([damaged(elevation.name, path, error)]) from error
    return stored


def _turned_to(raster: RasterLayer, area: tuple[float, float, float, float]) -> Affine:
    """Return the files' grid, one in degrees moved by whole turns to where the area lies."""
    if not raster.crs.is_geographic:
        return raster.file_transform
    east_of = transformer_between(MERCATOR, raster.crs)
    longitude_deg, _ = east_of.transform((area[0] + area[2]) / 2, (area[1] + area[3]) / 2)
    centre_deg = raster.transform.c + raster.width * raster.transform.a / 2
    turns_deg = longitude_deg - float(near_to(np.array([longitude_deg]), centre_deg)[0])
    return Affine.translation(turns_deg, 0.0) * raster.file_transform


def _widen(bounds: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    west, south, east, north = bounds
    margin = MARGIN_SHARE * max(east - west, north - south, 1000.0)
    return west - margin, south - margin, east + margin, north + margin


def _extent(raster: RasterLayer, turned: Affine) -> tuple[float, float, float, float]:
    west, east = turned.c, turned.c + raster.width * turned.a
    north, south = raster.transform.f, raster.transform.f + raster.height * raster.transform.e
    if raster.crs.is_geographic:
        west, east = max(west, -TURN_DEG / 2), min(east, TURN_DEG / 2)
        north, south = min(north, MERCATOR_EDGE_DEG), max(south, -MERCATOR_EDGE_DEG)
    to_mercator = transformer_between(raster.crs, MERCATOR)
    return to_mercator.transform_bounds(west, south, east, north, densify_pts=21)


def _native_cell_m(raster: RasterLayer, extent: tuple[float, float, float, float]) -> float:
    return min((extent[2] - extent[0]) / raster.width, (extent[3] - extent[1]) / raster.height)
