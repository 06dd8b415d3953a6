"""The piece of ground everything is drawn on, its grids, and the one source of chance."""

from dataclasses import dataclass
from datetime import date
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SEED = 20261101
AS_OF = date(2026, 11, 1)
PLANE_CRS = "EPSG:32612"
GEOGRAPHIC_CRS = "EPSG:4326"

WEST_M, SOUTH_M, EAST_M, NORTH_M = 588_000.0, 5_206_000.0, 630_000.0, 5_242_000.0
FINE_M = 30.0
COARSE_M = 120.0
ROUGH_M = 240.0

# The two jurisdictions together; the rasters reach three kilometres further on every side.
DISTRICTS_WEST_M, DISTRICTS_SOUTH_M, DISTRICTS_EAST_M, DISTRICTS_NORTH_M = (
    591_000.0,
    5_209_000.0,
    627_000.0,
    5_239_000.0,
)


@dataclass(frozen=True)
class Raster:
    """A north-up grid of square cells on the plane; row 0 is the northernmost.

    Attributes
    ----------
    values
        One number per cell, shape (rows, columns).
    cell_m
        Width of a cell [m].
    """

    values: Floats
    cell_m: float

    def read_at(self, easting_m: Floats, northing_m: Floats) -> Floats:
        """Return values of the cells that hold the points; points outside take the nearest edge cell."""
        rows, columns = self.values.shape
        column = np.clip(((easting_m - WEST_M) / self.cell_m).astype(int), 0, columns - 1)
        row = np.clip(((NORTH_M - northing_m) / self.cell_m).astype(int), 0, rows - 1)
        taken: Floats = self.values[row, column]
        return taken


def grid_shape(cell_m: float) -> tuple[int, int]:
    """Return rows and columns of the whole piece of ground at this cell width [m]."""
    return round((NORTH_M - SOUTH_M) / cell_m), round((EAST_M - WEST_M) / cell_m)


def cell_centres(cell_m: float) -> tuple[Floats, Floats]:
    """Return eastings [m] and northings [m] of all cell centres, each of shape (rows, columns)."""
    rows, columns = grid_shape(cell_m)
    easting_m = WEST_M + (np.arange(columns) + 0.5) * cell_m
    northing_m = NORTH_M - (np.arange(rows) + 0.5) * cell_m
    east, north = np.meshgrid(easting_m, northing_m)
    return east, north


def chance(topic: str) -> np.random.Generator:
    """Return a generator of its own for each topic: a new draw in one place leaves the others alone."""
    return np.random.Generator(np.random.PCG64([SEED, crc32(topic.encode("utf-8"))]))


def settle(values: Floats, decimals: int = 4) -> Floats:
    """Return rounded values, so that the last bits of a machine's own sine or logarithm never reach a file.

    Used after every sine, exponential or filter: the next step starts from the same numbers everywhere.
    """
    settled: Floats = np.round(values, decimals)
    return settled
