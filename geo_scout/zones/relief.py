"""The season's elevation for the map, warped to Web Mercator."""

import math
import warnings
from dataclasses import dataclass

import numpy as np
import rasterio
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS
from rasterio.enums import Resampling
from rasterio.vrt import WarpedVRT
from rasterio.windows import Window

from geo_scout.errors import InputMistakes
from geo_scout.formulas.longitudes import near_to
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.layers import TURN_DEG, LayerSet, RasterLayer, goes_round
from geo_scout.model.zones import MERCATOR_RADIUS_M, ReliefGrid
from geo_scout.zones.cells import damaged
from geo_scout.zones.relief_cells import ReliefCells, relief_cells

MERCATOR = CRS.from_epsg(3857)
# The same metres as EPSG:3857, but from half a turn west to half a turn east of a meridian.
_AROUND = "+proj=merc +a=6378137 +b=6378137 +lon_0={!r} +x_0={!r} +units=m +nadgrids=@null +no_defs"
MARGIN_SHARE = 0.08
STRIP_ROWS = 1024
# GDAL works positions out for some cells and takes a straight line between them; by an eighth of a cell, its
# habit, a mark could lie pixels off where the map is brought near.
MOST_SHIFT_M, MOST_SHIFT_CELLS = 0.1, 0.125
# Web Mercator ends here, where the map is square.
MERCATOR_EDGE_DEG = 85.05


@dataclass(frozen=True)
class Mercator:
    """Web Mercator, cut half a turn from a meridian.

    Parameters
    ----------
    crs
        Its metres.
    middle_deg
        The meridian [deg].
    """

    crs: CRS = MERCATOR
    middle_deg: float = 0.0

    @property
    def goes_beyond(self) -> bool:
        """Whether it goes on beyond the 180th meridian."""
        return self.crs is not MERCATOR


def read_relief(layers: LayerSet) -> ReliefGrid | None:
    """Return elevation around the season's area, in the raster's cells or in pixels of web map tiles.

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
    mercator = _mercator_of(bounds, crs)
    area = _widen(transformer_between(crs, mercator.crs).transform_bounds(*bounds))
    turned = _turned_to(elevation, area, mercator)
    extent = _extent(elevation, turned, mercator)
    west, south = max(area[0], extent[0]), max(area[1], extent[1])
    east, north = min(area[2], extent[2]), min(area[3], extent[3])
    if west >= east or south >= north:
        return None
    native_m = _native_cell_m(elevation, extent)
    cells = relief_cells((west, south, east, north), native_m)
    metres = _read_warped(elevation, turned, mercator, cells, native_m)
    return ReliefGrid(metres, cells.transform, cells.zoom)


def _mercator_of(bounds: tuple[float, float, float, float], crs: CRS) -> Mercator:
    """Return Web Mercator; around an area on both sides of the 180th meridian one that goes on beyond it."""
    middle = (bounds[0] + bounds[2]) / 2.0, (bounds[1] + bounds[3]) / 2.0
    middle_deg = float(transformer_between(crs, "EPSG:4326").transform(*middle)[0])
    if not math.isfinite(middle_deg):
        return Mercator()
    middle_m = MERCATOR_RADIUS_M * math.radians(middle_deg)
    around = Mercator(CRS.from_proj4(_AROUND.format(middle_deg, middle_m)), middle_deg)
    area = _widen(transformer_between(crs, around.crs).transform_bounds(*bounds))
    half_world_m = math.pi * MERCATOR_RADIUS_M
    return Mercator() if -half_world_m <= area[0] and area[2] <= half_world_m else around


def _read_warped(
    elevation: RasterLayer, turned: Affine, mercator: Mercator, cells: ReliefCells, native_m: float
) -> NDArray[np.float32]:
    path = elevation.files[0]
    file_crs, file_transform = _as_warped(elevation, turned, mercator)
    # Bilinear from the nearest four cells, also where the relief's are a little larger: half the time.
    is_coarser = cells.transform.a > 1.5 * native_m
    way = {"resampling": Resampling.bilinear, "XSCALE": "1", "YSCALE": "1"}
    if is_coarser:
        way = {"resampling": Resampling.average}
    metres = np.empty((cells.rows, cells.columns), dtype=np.float32)
    try:
        with (
            rasterio.Env(GDAL_PAM_ENABLED="NO"),
            rasterio.open(path) as file,
            WarpedVRT(
                file,
                src_crs=file_crs.to_wkt(),
                src_transform=file_transform,
                src_nodata=elevation.nodata[0],
                crs=mercator.crs.to_wkt(),
                transform=cells.transform,
                height=cells.rows,
                width=cells.columns,
                tolerance=min(MOST_SHIFT_CELLS, MOST_SHIFT_M / native_m),
                nodata=np.nan,
                dtype="float32",
                NUM_THREADS="ALL_CPUS",
                **way,
            ) as warped,
        ):
            for top in range(0, cells.rows, STRIP_ROWS):
                strip = Window(0, top, cells.columns, min(STRIP_ROWS, cells.rows - top))
                metres[top : top + STRIP_ROWS] = _in_metres(warped.read(1, window=strip), elevation)
    except rasterio.errors.RasterioIOError as error:
        raise InputMistakes([damaged(elevation.name, path, error)]) from error
    return metres


def _in_metres(stored: NDArray[np.float32], elevation: RasterLayer) -> NDArray[np.float32]:
    metres = stored
    if (elevation.scale[0], elevation.offset[0]) != (1.0, 0.0):
        # An infinite cell may come of the scale.
        with np.errstate(over="ignore", invalid="ignore"):
            metres = (stored.astype(np.float64) * elevation.scale[0] + elevation.offset[0]).astype(np.float32)
    # Infinite cells are missing, here as everywhere.
    metres[~np.isfinite(metres)] = np.nan
    return metres


def _turned_to(raster: RasterLayer, area: tuple[float, float, float, float], mercator: Mercator) -> Affine:
    """Return the files' grid, one in degrees moved by whole turns to where the area lies."""
    if not raster.crs.is_geographic:
        return raster.file_transform
    east_of = transformer_between(mercator.crs, raster.crs)
    longitude_deg, _ = east_of.transform((area[0] + area[2]) / 2, (area[1] + area[3]) / 2)
    if mercator.goes_beyond:
        longitude_deg = float(near_to(np.array([longitude_deg]), mercator.middle_deg)[0])
    centre_deg = raster.transform.c + raster.width * raster.transform.a / 2
    turns_deg = longitude_deg - float(near_to(np.array([longitude_deg]), centre_deg)[0])
    return Affine.translation(turns_deg, 0.0) * raster.file_transform


def _as_warped(raster: RasterLayer, turned: Affine, mercator: Mercator) -> tuple[CRS, Affine]:
    """Return reference system and grid of the file as GDAL is told them.

    GDAL works longitudes out from -180 to 180 only, so those of an area across that edge are told from the
    area's middle. A grid around the Earth that begins there needs it not.
    """
    from_middle = Affine.translation(-mercator.middle_deg, 0.0) * turned
    centre_deg = from_middle.c + raster.width * from_middle.a / 2
    begins_there = goes_round(raster.crs, turned, raster.width) and abs(centre_deg) > TURN_DEG / 4
    if not raster.crs.is_geographic or not mercator.goes_beyond or begins_there:
        return raster.crs, turned
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # the name of the datum is lost, not where it lies
        plain = raster.crs.to_proj4()
    return CRS.from_proj4(f"{plain} +pm={mercator.middle_deg!r}"), from_middle


def _widen(bounds: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    west, south, east, north = bounds
    margin = MARGIN_SHARE * max(east - west, north - south, 1000.0)
    return west - margin, south - margin, east + margin, north + margin


def _extent(raster: RasterLayer, turned: Affine, mercator: Mercator) -> tuple[float, float, float, float]:
    west, east = turned.c, turned.c + raster.width * turned.a
    north, south = raster.transform.f, raster.transform.f + raster.height * raster.transform.e
    if raster.crs.is_geographic:
        edges_deg = mercator.middle_deg - TURN_DEG / 2, mercator.middle_deg + TURN_DEG / 2
        west, east = max(west, edges_deg[0]), min(east, edges_deg[1])
        if goes_round(raster.crs, turned, raster.width):
            west, east = edges_deg
        north, south = min(north, MERCATOR_EDGE_DEG), max(south, -MERCATOR_EDGE_DEG)
    to_mercator = transformer_between(raster.crs, mercator.crs)
    return to_mercator.transform_bounds(west, south, east, north, densify_pts=21)


def _native_cell_m(raster: RasterLayer, extent: tuple[float, float, float, float]) -> float:
    return min((extent[2] - extent[0]) / raster.width, (extent[3] - extent[1]) / raster.height)
