"""The steps of a raster's grid on the ground, at any of its cells."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.terrain_ground import GroundSteps, ground_steps
from geo_scout.model.layers import RasterLayer

NODE_CELLS = 32
"""Between places so many cells apart the steps are taken as straight lines: off by 1e-8 at 30 m cells."""


def steps_at(raster: RasterLayer, rows: NDArray[np.int64], columns: NDArray[np.int64]) -> GroundSteps:
    """Return the ground steps at the middles of cells.

    Parameters
    ----------
    raster
        The raster whose grid it is.
    rows, columns
        (n,) cells, at least one; rows from the north.

    Notes
    -----
    They are computed at every 32nd row and column, counted from the raster's corner, and interpolated
    between, because a map projection cannot be undone a million times in a second.
    """
    row_nodes, column_nodes = (
        np.arange(int(cells.min()) // NODE_CELLS, int(cells.max()) // NODE_CELLS + 2)
        for cells in (rows, columns)
    )
    grid = raster.transform
    easting, northing = np.meshgrid(
        grid.c + column_nodes * NODE_CELLS * grid.a, grid.f + row_nodes * NODE_CELLS * grid.e
    )
    nodes = ground_steps(easting, northing, grid.a, -grid.e, raster.crs)
    parts = (
        nodes.latitude_deg,
        nodes.column_east_m,
        nodes.column_north_m,
        nodes.row_east_m,
        nodes.row_north_m,
    )
    down = (rows + 0.5) / NODE_CELLS - row_nodes[0]
    along = (columns + 0.5) / NODE_CELLS - column_nodes[0]
    return GroundSteps(*between_nodes(np.stack([part.ravel() for part in parts]), easting.shape, down, along))


def between_nodes(
    parts: NDArray[np.float64],
    shape: tuple[int, ...],
    down: NDArray[np.float64],
    along: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return the parts at places between nodes, on straight lines down and along.

    Parameters
    ----------
    parts
        (parts, nodes) values at the nodes, row by row.
    shape
        Rows and columns of nodes.
    down, along
        (n,) places in rows and columns of nodes from the first, inside the nodes.

    Returns
    -------
    numpy.ndarray
        (parts, n).
    """
    row, column = down.astype(np.intp), along.astype(np.intp)
    below, right = down - row, along - column
    node = row * shape[1] + column
    found = np.zeros((len(parts), len(node)))
    for step, weight in (
        (0, (1 - below) * (1 - right)),
        (1, (1 - below) * right),
        (shape[1], below * (1 - right)),
        (shape[1] + 1, below * right),
    ):
        corner = node + step
        for part, into in zip(parts, found, strict=True):
            into += weight * part[corner]
    return found
