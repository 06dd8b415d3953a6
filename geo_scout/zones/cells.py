"""The values of chosen cells of one raster, read block by block, each block once."""

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.windows import Window

from geo_scout.errors import InputMistakes
from geo_scout.model.finding import Finding
from geo_scout.model.layers import RasterLayer

GDAL_CACHE_MB = 64


def read_cells(
    raster: RasterLayer, rows: NDArray[np.int64], columns: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return the value of every band in the given cells.

    Parameters
    ----------
    raster
        The raster.
    rows, columns
        (m,) cells; those outside the raster get nan.

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
    inside = (rows >= 0) & (rows < raster.height) & (columns >= 0) & (columns < raster.width)
    wanted = np.flatnonzero(inside)
    if len(wanted) == 0:
        return values
    with rasterio.Env(GDAL_PAM_ENABLED="NO", GDAL_CACHEMAX=GDAL_CACHE_MB), rasterio.open(raster.path) as file:
        block_height, block_width = file.block_shapes[0]
        blocks_across = -(-raster.width // block_width)
        block = (rows[wanted] // block_height) * blocks_across + columns[wanted] // block_width
        order = np.argsort(block, kind="stable")
        starts = np.flatnonzero(np.r_[True, np.diff(block[order]) > 0])
        for group in np.split(order, starts[1:]):
            cells = wanted[group]
            top = int(rows[cells[0]] // block_height) * block_height
            left = int(columns[cells[0]] // block_width) * block_width
            window = Window(
                left, top, min(block_width, raster.width - left), min(block_height, raster.height - top)
            )
            values[:, cells] = _read_window(file, window, raster)[:, rows[cells] - top, columns[cells] - left]
    for band in range(len(raster.bands)):
        values[band, wanted] = raster.values(values[band, wanted], band)
    return values


def _read_window(file: rasterio.DatasetReader, window: Window, raster: RasterLayer) -> NDArray[np.generic]:
    try:
        stored: NDArray[np.generic] = file.read(window=window)
    except rasterio.errors.RasterioIOError as error:
        message = Finding(
            code="raster-unreadable",
            grade="stop",
            layer=raster.name,
            feature="",
            what=f"{raster.path.name} cannot be read at column {window.col_off}, "
            f"row {window.row_off}: {error}",
            fix="get a whole copy of the file; this one is damaged.",
        )
        raise InputMistakes([message]) from error
    return stored
