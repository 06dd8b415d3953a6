"""The ground around chosen cells of one raster, square by square, with a margin of neighbours."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.windows import Window

from geo_scout.errors import InputMistakes
from geo_scout.model.layers import RasterLayer
from geo_scout.zones.cells import damaged

SIDE = 512
"""Rows and columns of one square: the usual tile of a large raster, whatever tiles this one has."""

# rasterio takes these numbers in bytes.
LEAST_CACHE_BYTES, MOST_CACHE_BYTES = 64 * 2**20, 400 * 2**20

Halo = Callable[[float, float], tuple[int, int]]


@dataclass(frozen=True)
class HaloBlock:
    """Some of the chosen cells and the values around them.

    Parameters
    ----------
    cells
        (n,) which of the chosen cells these are.
    values
        (height, width) quantity in the layer's unit; nan where missing and beyond the raster.
    rows, columns
        (n,) where the cells stand in ``values``.
    north, west
        Row and column of the raster at which ``values`` begins; negative in the margin beyond it.
    halo
        Rows and columns of neighbours asked for; ``values`` holds so many, and at least one, on every
        side of each cell.
    """

    cells: NDArray[np.intp]
    values: NDArray[np.float64]
    rows: NDArray[np.int64]
    columns: NDArray[np.int64]
    north: int
    west: int
    halo: tuple[int, int]


def read_halo_blocks(
    raster: RasterLayer, rows: NDArray[np.int64], columns: NDArray[np.int64], halo: Halo, band: int = 0
) -> Iterator[HaloBlock]:
    """Yield the chosen cells square by square; squares without any are never read.

    Parameters
    ----------
    raster
        The raster.
    rows, columns
        (m,) cells, rows from the north; those outside the raster are not yielded. On a grid that goes
        round the Earth a column beyond an edge is one at the other side.
    halo
        Rows and columns of neighbours wanted around a cell, for the middle row and column of a square;
        one of each comes at least.
    band
        Which band, from 0.

    Raises
    ------
    InputMistakes
        A block of the file cannot be read.

    Notes
    -----
    Squares are counted from the raster's corner, so the result does not depend on how a file is tiled.
    They come row by row, and the cache holds a row of squares, so that neighbours do not unpack the same
    tiles again.
    """
    if raster.goes_round:
        columns = columns % raster.width
    squares = list(_squares(raster, rows, columns, halo))
    if not squares:
        return
    position = raster.places[band] if raster.places else (0, band + 1)
    path, place = raster.files[position[0]], ""
    try:
        with rasterio.Env(**_options(raster, squares)), rasterio.open(path) as file:
            for cells, asked in squares:
                high, wide = max(asked[0], 1), max(asked[1], 1)
                north, south = int(rows[cells].min()) - high, int(rows[cells].max()) + high + 1
                west, east = int(columns[cells].min()) - wide, int(columns[cells].max()) + wide + 1
                place = f" around column {max(west, 0)}, row {max(north, 0)}"
                values = _read_around(file, raster, position[1], band, (north, south), (west, east))
                yield HaloBlock(cells, values, rows[cells] - north, columns[cells] - west, north, west, asked)
    except rasterio.errors.RasterioIOError as error:
        raise InputMistakes([damaged(raster.name, path, error, place)]) from error


def _squares(
    raster: RasterLayer, rows: NDArray[np.int64], columns: NDArray[np.int64], halo: Halo
) -> Iterator[tuple[NDArray[np.intp], tuple[int, int]]]:
    """Yield per square, row by row, the cells in it and its halo."""
    inside = (rows >= 0) & (rows < raster.height) & (columns >= 0) & (columns < raster.width)
    across = -(-raster.width // SIDE)
    square = np.where(inside, (rows // SIDE) * across + columns // SIDE, -1).astype(np.int32)
    order = np.argsort(square, kind="stable")[np.count_nonzero(~inside) :]
    starts = np.flatnonzero(np.diff(square[order], prepend=-1))
    for start, end in pairwise([*starts.tolist(), len(order)]):
        cells = order[start:end]
        down, along = divmod(int(square[cells[0]]), across)
        yield cells, halo((down + 0.5) * SIDE, (along + 0.5) * SIDE)


def _options(
    raster: RasterLayer, squares: list[tuple[NDArray[np.intp], tuple[int, int]]]
) -> dict[str, str | int]:
    """Return GDAL's settings: a cache that holds a row of squares with their halo, and two threads."""
    highest = max(high for _, (high, _) in squares)
    # A file's own tiles reach beyond the squares by up to two of them.
    needed = (3 * SIDE + 2 * highest) * raster.width * np.dtype(np.float32).itemsize
    cache = int(np.clip(needed, LEAST_CACHE_BYTES, MOST_CACHE_BYTES))
    return {"GDAL_PAM_ENABLED": "NO", "GDAL_CACHEMAX": cache, "GDAL_NUM_THREADS": "2"}


def _read_around(
    file: rasterio.DatasetReader,
    raster: RasterLayer,
    number: int,
    band: int,
    rows: tuple[int, int],
    columns: tuple[int, int],
) -> NDArray[np.float64]:
    """Return the quantity in rows and columns that may lie beyond the raster, or across its seam."""
    values = np.full((rows[1] - rows[0], columns[1] - columns[0]), np.nan)
    top, bottom = max(rows[0], 0), min(rows[1], raster.height)
    for turn in (-raster.width, 0, raster.width) if raster.goes_round else (0,):
        left, right = max(columns[0] + turn, 0), min(columns[1] + turn, raster.width)
        if left >= right:
            continue
        first = raster.height - bottom if raster.is_south_up else top
        window = Window(left, first, right - left, bottom - top)
        stored = file.read(number, window=window)
        found = raster.values(stored, band)
        if raster.has_mask:
            found[file.read_masks(number, window=window) == 0] = np.nan
        into = values[top - rows[0] : bottom - rows[0], left - turn - columns[0] : right - turn - columns[0]]
        into[:] = found[::-1] if raster.is_south_up else found
    return values
