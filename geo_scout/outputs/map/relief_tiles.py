"""The relief once more as tiles, for seasons whose elevation is finer than one picture of it."""

import base64
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from PIL import Image

from geo_scout.model.zones import MERCATOR_RADIUS_M, RELIEF_PICTURE_PX, ReliefGrid
from geo_scout.outputs.relief import Pixels, webp

TILE_PX = 256
MOST_BYTES = 4_000_000  # of the page
WEBP_METHOD = 2  # many tiles: a tenth larger than by method 4, in half the time


@dataclass(frozen=True)
class ReliefTiles:
    """Tiles of the relief in the numbering of web maps.

    Parameters
    ----------
    least_zoom, most_zoom
        Zooms that have tiles.
    pictures
        By "zoom/column/row" the tile as a WebP file in base64; none where nothing is known of the ground.
    """

    least_zoom: int
    most_zoom: int
    pictures: dict[str, str]

    def data(self) -> dict[str, object]:
        """Return what the page reads."""
        return {"least_zoom": self.least_zoom, "most_zoom": self.most_zoom, "pictures": self.pictures}


def relief_tiles(relief: ReliefGrid, pixels: Pixels, most_bytes: int = MOST_BYTES) -> ReliefTiles | None:
    """Return the tiles that show more than the one picture does.

    Parameters
    ----------
    relief
        Where the pixels lie.
    pixels
        Of every cell its red, green, blue and opacity.
    most_bytes
        Zooms are added, from afar to near, until another would need more than this [bytes].

    Returns
    -------
    ReliefTiles or None
        None where the picture shows every cell, or where not even one zoom has room.
    """
    if relief.zoom is None:
        return None
    shown = max(relief.elevation_m.shape) / RELIEF_PICTURE_PX  # cells to a pixel of the picture
    if shown <= 1.0:
        return None
    least_zoom = relief.zoom - math.ceil(math.log2(shown)) + 1
    pictures: dict[str, str] = {}
    most_zoom = None
    for zoom in range(least_zoom, relief.zoom + 1):
        used = sum(map(len, pictures.values()))
        found = _tiles_within(relief, pixels, zoom, most_bytes - used)
        if found is None:
            break
        pictures |= found
        most_zoom = zoom
    return None if most_zoom is None else ReliefTiles(least_zoom, most_zoom, pictures)


def _tiles_within(relief: ReliefGrid, pixels: Pixels, zoom: int, most_bytes: int) -> dict[str, str] | None:
    """Return the tiles of one zoom, or None as soon as they are too large."""
    found: dict[str, str] = {}
    size = 0
    for name, picture in _tiles(relief, pixels, zoom):
        found[name] = base64.b64encode(webp(picture, WEBP_METHOD)).decode("ascii")
        size += len(found[name])
        if size > most_bytes:
            return None
    return found


def _tiles(relief: ReliefGrid, pixels: Pixels, zoom: int) -> Iterator[tuple[str, Image.Image]]:
    assert relief.zoom is not None
    cells = 2 ** (relief.zoom - zoom)  # to a pixel of the tile
    side = TILE_PX * cells
    half_world_m = math.pi * MERCATOR_RADIUS_M
    west = round((relief.transform.c + half_world_m) / relief.transform.a)
    north = round((relief.transform.f - half_world_m) / relief.transform.e)
    rows, columns = pixels.shape[:2]
    for row in range(north // side, (north + rows - 1) // side + 1):
        for column in range(west // side, (west + columns - 1) // side + 1):
            block = _block(pixels, row * side - north, column * side - west, side)
            if block[..., 3].any():
                picture = Image.fromarray(block)
                yield f"{zoom}/{column}/{row}", picture if cells == 1 else picture.reduce(cells)


def _block(pixels: Pixels, top: int, left: int, side: int) -> Pixels:
    """Return a square of the pixels, clear where it reaches beyond them."""
    rows, columns = pixels.shape[:2]
    first, last = max(top, 0), min(top + side, rows)
    west, east = max(left, 0), min(left + side, columns)
    if (last - first, east - west) == (side, side):
        return pixels[first:last, west:east]
    block = np.zeros((side, side, 4), dtype=np.uint8)
    block[first - top : last - top, west - left : east - left] = pixels[first:last, west:east]
    return block
