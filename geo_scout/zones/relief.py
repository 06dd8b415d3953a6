"""The season's elevation for the map, warped to Web Mercator."""

import numpy as np
import rasterio
from affine import Affine
from pyproj import CRS, Transformer
from rasterio.enums import Resampling
from rasterio.vrt import WarpedVRT

from geo_scout.model.layers import LayerSet, RasterLayer
from geo_scout.model.zones import ReliefGrid

MERCATOR = CRS.from_epsg(3857)
LONGEST_SIDE_PX = 1600
MARGIN_SHARE = 0.08


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
    """
    area = _widen(Transformer.from_crs(crs, MERCATOR, always_xy=True).transform_bounds(*bounds))
    extent = _extent(elevation)
    west, south = max(area[0], extent[0]), max(area[1], extent[1])
    east, north = min(area[2], extent[2]), min(area[3], extent[3])
    if west >= east or south >= north:
        return None
    native_m = _native_cell_m(elevation, extent)
    cell_m = max(native_m, max(east - west, north - south) / LONGEST_SIDE_PX)
    width, height = max(1, round((east - west) / cell_m)), max(1, round((north - south) / cell_m))
    transform = Affine((east - west) / width, 0, west, 0, -(north - south) / height, north)
    resampling = Resampling.average if cell_m > 1.5 * native_m else Resampling.bilinear
    options = {"crs": "EPSG:3857", "transform": transform, "width": width, "height": height}
    with (
        rasterio.Env(GDAL_PAM_ENABLED="NO"),
        rasterio.open(elevation.path) as file,
        WarpedVRT(
            file,
            resampling=resampling,
            src_nodata=elevation.nodata,
            nodata=np.nan,
            dtype="float32",
            **options,
        ) as warped,
    ):
        stored = warped.read(1)
    metres = np.where(np.isnan(stored), np.nan, stored * elevation.scale[0] + elevation.offset[0])
    return ReliefGrid(metres.astype(np.float32), transform)


def _widen(bounds: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    west, south, east, north = bounds
    margin = MARGIN_SHARE * max(east - west, north - south, 1000.0)
    return west - margin, south - margin, east + margin, north + margin


def _extent(raster: RasterLayer) -> tuple[float, float, float, float]:
    west, north = raster.transform.c, raster.transform.f
    east = west + raster.width * raster.transform.a
    south = north + raster.height * raster.transform.e
    to_mercator = Transformer.from_crs(raster.crs, MERCATOR, always_xy=True)
    return to_mercator.transform_bounds(west, south, east, north, densify_pts=21)


def _native_cell_m(raster: RasterLayer, extent: tuple[float, float, float, float]) -> float:
    return min((extent[2] - extent[0]) / raster.width, (extent[3] - extent[1]) / raster.height)
