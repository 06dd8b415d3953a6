"""The values of chosen cells of one raster: each of its files once, block by block."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.windows import Window

from geo_scout.errors import InputMistakes
from geo_scout.model.finding import Finding
from geo_scout.model.layers import RasterLayer

# rasterio takes this number in bytes.
GDAL_CACHE_BYTES = 64 * 2**20


def read_cells(
    raster: RasterLayer, rows: NDArray[np.int64], columns: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return the value of every band in the given cells.

    Parameters
    ----------
    raster
        The raster.
    rows, columns
        (m,) cells, rows from the north; those outside the raster get nan. On a grid that goes round the
        Earth a column beyond an edge is one at the other side.

    Returns
    -------
    numpy.ndarray
        (bands, m) quantities in the layer's unit; nan where missing.

    Raises
    ------
    InputMistakes
        A block of the file cannot be read.
    """
    values = np.full((len(raster.bands), len(rows)), np.nan)
    if raster.goes_round:
        columns = columns % raster.width
    inside = (rows >= 0) & (rows < raster.height) & (columns >= 0) & (columns < raster.width)
    wanted = np.flatnonzero(inside)
    if len(wanted) == 0:
        return values
    rows = raster.height - 1 - rows if raster.is_south_up else rows
    for file, (positions, numbers) in raster.bands_by_file().items():
        stored = _read_file(raster, raster.files[file], numbers, rows[wanted], columns[wanted])
        for position, cells in zip(positions, stored, strict=True):
            values[position, wanted] = raster.values(cells, position)
    return values


def _read_file(
    raster: RasterLayer,
    path: Path,
    numbers: list[int],
    rows: NDArray[np.int64],
    columns: NDArray[np.int64],
) -> NDArray[np.float64]:
    """Return the stored values of some bands of one file at rows and columns as the file has them."""
    stored = np.empty((len(numbers), len(rows)))
    place = ""
    try:
        with rasterio.Env(GDAL_PAM_ENABLED="NO", GDAL_CACHEMAX=GDAL_CACHE_BYTES), rasterio.open(path) as file:
            for window, cells in _blocks(file, rows, columns):
                place = f" at column {window.col_off}, row {window.row_off}"
                block = _read_window(file, window, numbers, raster.has_mask)
                stored[:, cells] = block[:, rows[cells] - window.row_off, columns[cells] - window.col_off]
    except rasterio.errors.RasterioIOError as error:
        raise InputMistakes([damaged(raster.name, path, error, place)]) from error
    return stored


def _blocks(
    file: rasterio.DatasetReader, rows: NDArray[np.int64], columns: NDArray[np.int64]
) -> Iterator[tuple[Window, NDArray[np.intp]]]:
    """Yield each block of the file that holds any of the cells, with the cells it holds."""
    block_height, block_width = file.block_shapes[0]
    blocks_across = -(-file.width // block_width)
    block = (rows // block_height) * blocks_across + columns // block_width
    order = np.argsort(block, kind="stable")
    starts = np.flatnonzero(np.r_[True, np.diff(block[order]) > 0])
    for cells in np.split(order, starts[1:]):
        top = int(rows[cells[0]] // block_height) * block_height
        left = int(columns[cells[0]] // block_width) * block_width
        size = min(block_width, file.width - left), min(block_height, file.height - top)
        yield Window(left, top, *size), cells


def _read_window(
    file: rasterio.DatasetReader, window: Window, numbers: list[int], has_mask: bool
) -> NDArray[np.generic]:
    """Return (bands, rows, columns) of stored values; nan where the file's mask says missing."""
    stored: NDArray[np.generic] = file.read(numbers, window=window)
    if has_mask:
        stored = np.where(file.read_masks(numbers, window=window) == 0, np.nan, stored.astype(np.float64))
    return stored


def damaged(layer: str, path: Path, error: Exception, place: str = "") -> Finding:
    """Return the stop finding of a file that was described but cannot be read through."""
    return Finding(
        code="raster-unreadable",
        grade="stop",
        layer=layer,
        feature="",
        what=f"'{path.name}' cannot be read{place}: it is cut short or damaged. The file reader said: "
        f'"{first_line(error, path)}"',
        fix="Copy or download it again, or export it anew; the disk may have been full.",
    )


def first_line(error: Exception, path: Path) -> str:
    """Return the first line of what a library said, without the folders of one machine."""
    said = error.__cause__ or error
    line = (str(said).splitlines() or [type(said).__name__])[0]
    for name in (str(path), path.as_posix()):
        line = line.replace(name, path.name)
    return line
