"""Values of one raster at the cells of another."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.longitudes import near_to
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.layers import RasterLayer
from geo_scout.zones.cells import read_cells


def is_same_grid(one: RasterLayer, other: RasterLayer) -> bool:
    """Return whether two rasters have the same cells."""
    return grid_of(one) == grid_of(other)


def grid_of(raster: RasterLayer) -> tuple[object, ...]:
    """Return what makes a grid: its system, its transform and its size."""
    return (raster.crs.to_wkt(), tuple(raster.transform)[:6], raster.width, raster.height)


def values_at_cells_of(
    lead: RasterLayer, rows: NDArray[np.int64], columns: NDArray[np.int64], other: RasterLayer
) -> NDArray[np.float64]:
    """Return another raster's values at the centres of some cells of the leading grid.

    Parameters
    ----------
    lead
        The raster whose cells are meant.
    rows, columns
        (m,) its cells, rows from the north.
    other
        The raster that is read.

    Returns
    -------
    numpy.ndarray
        (bands, m); nan where the other raster has no value there.
    """
    if is_same_grid(lead, other):
        return read_cells(other, rows, columns)
    easting = lead.transform.c + (columns + 0.5) * lead.transform.a
    northing = lead.transform.f + (rows + 0.5) * lead.transform.e
    easting, northing = transformer_between(lead.crs, other.crs).transform(easting, northing)
    if other.crs.is_geographic:
        easting = near_to(np.asarray(easting), other.transform.c + other.width * other.transform.a / 2)
    column = np.floor((np.asarray(easting) - other.transform.c) / other.transform.a)
    row = np.floor((np.asarray(northing) - other.transform.f) / other.transform.e)
    # A cell with no place on the other map becomes one outside its raster.
    is_there = np.isfinite(column) & np.isfinite(row)
    row, column = np.where(is_there, row, -1.0), np.where(is_there, column, -1.0)
    return read_cells(other, row.astype(np.int64), column.astype(np.int64))
