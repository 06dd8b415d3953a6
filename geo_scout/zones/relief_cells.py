"""Which cells the map's relief has: the raster's own, or pixels of web map tiles where those are too many."""

import math
from dataclasses import dataclass

from affine import Affine

from geo_scout.model.zones import DEEPEST_ZOOM, MERCATOR_RADIUS_M, RELIEF_PICTURE_PX

WORLD_M = 2.0 * math.pi * MERCATOR_RADIUS_M  # the sides of Web Mercator's square
TILE_PX = 256
LONGEST_SIDE_PX = 8192
MOST_CELLS = 24_000_000  # 96 MB while a season runs


@dataclass(frozen=True)
class ReliefCells:
    """A north-up grid in Web Mercator.

    Parameters
    ----------
    transform
        Column and row to EPSG:3857 metres.
    rows, columns
        Its size.
    zoom
        Zoom of the tiles whose pixels the cells are; None where they are those of the raster.
    """

    transform: Affine
    rows: int
    columns: int
    zoom: int | None = None


def relief_cells(area: tuple[float, float, float, float], native_m: float) -> ReliefCells:
    """Return the cells in which the elevation of an area is read for the map.

    Parameters
    ----------
    area
        West, south, east, north of what is shown, in EPSG:3857 metres.
    native_m
        Side of the raster's own cells in EPSG:3857 metres.

    Notes
    -----
    Where one picture has room for every cell of the raster, they are kept. Else the cells are the pixels of
    the zoom that comes nearest to them and shows more than the picture does, so that tiles are cut from
    them as they are.
    """
    west, south, east, north = area
    longest_m = max(east - west, north - south)
    if longest_m > native_m * RELIEF_PICTURE_PX:
        least_zoom = math.floor(math.log2(RELIEF_PICTURE_PX * _pixel_m(0) / longest_m)) + 1
        if least_zoom <= DEEPEST_ZOOM:
            nearest = round(math.log2(_pixel_m(0) / native_m))
            return _of_tiles(area, least_zoom, min(max(nearest, least_zoom), DEEPEST_ZOOM))
    cell_m = max(native_m, longest_m / RELIEF_PICTURE_PX)
    columns, rows = max(1, round((east - west) / cell_m)), max(1, round((north - south) / cell_m))
    transform = Affine((east - west) / columns, 0, west, 0, -(north - south) / rows, north)
    return ReliefCells(transform, rows, columns)


def _of_tiles(area: tuple[float, float, float, float], least_zoom: int, zoom: int) -> ReliefCells:
    pixel_m = _pixel_m(zoom)
    most = 2**zoom * TILE_PX
    west, east = math.floor((area[0] + WORLD_M / 2) / pixel_m), math.ceil((area[2] + WORLD_M / 2) / pixel_m)
    north, south = math.floor((WORLD_M / 2 - area[3]) / pixel_m), math.ceil((WORLD_M / 2 - area[1]) / pixel_m)
    north, south = max(north, 0), min(south, most)
    if max(-area[0], area[2]) <= WORLD_M / 2 + pixel_m:  # else it lies on both sides of the 180th meridian
        west, east = max(west, 0), min(east, most)
    columns, rows = east - west, south - north
    if zoom > least_zoom and (max(columns, rows) > LONGEST_SIDE_PX or columns * rows > MOST_CELLS):
        return _of_tiles(area, least_zoom, zoom - 1)
    transform = Affine(pixel_m, 0, west * pixel_m - WORLD_M / 2, 0, -pixel_m, WORLD_M / 2 - north * pixel_m)
    return ReliefCells(transform, rows, columns, zoom)


def _pixel_m(zoom: int) -> float:
    return WORLD_M / TILE_PX / 2.0**zoom
