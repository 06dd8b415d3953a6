"""Contour lines of the season's elevation, for the map."""

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.longitudes import near_to
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.zones import RELIEF_PICTURE_PX, ReliefGrid

Lines = NDArray[np.object_]

MOST_LEVELS = 20
INDEX_EVERY = 5
MOST_VERTICES = 30_000  # about 200 kB of the page
TOLERANCE_CELLS = 0.5
STEPS_PER_CELL = 10  # vertices are rounded to a tenth of a cell or less
METRES_PER_DEG = 111_319.49  # of longitude, in Web Mercator
# A few wrong cells must not make the lines of the others far apart, nor have hundreds of lines of their own.
USUAL_SHARES = (0.001, 0.999)


@dataclass(frozen=True)
class Contours:
    """Contour lines in whole steps of a part of a degree.

    Parameters
    ----------
    interval_m
        Height from one line to the next [m].
    step_deg
        What coordinates are multiples of [deg].
    lines
        By elevation [m] its lines, each (n, 2): longitude and latitude in steps.
    """

    interval_m: int
    step_deg: float
    lines: dict[int, list[NDArray[np.int64]]]

    @property
    def vertex_count(self) -> int:
        """Vertices of all lines together."""
        return sum(len(line) for lines in self.lines.values() for line in lines)

    def is_index(self, elevation_m: int) -> bool:
        """Whether the line is one of those that are drawn heavier."""
        return elevation_m % (INDEX_EVERY * self.interval_m) == 0

    def data(self) -> dict[str, object]:
        """Return what the page reads: of each line its first vertex, then the step to each one after it."""
        levels = [
            {
                "elevation_m": elevation_m,
                "is_index": self.is_index(elevation_m),
                "lines": [np.diff(line, axis=0, prepend=0).ravel().tolist() for line in lines],
            }
            for elevation_m, lines in self.lines.items()
        ]
        return {"step_deg": self.step_deg, "levels": levels}


def contours_of(relief: ReliefGrid, most_vertices: int = MOST_VERTICES) -> Contours | None:
    """Return the contour lines of the relief; None where the ground is too flat for any.

    Parameters
    ----------
    relief
        Elevation on a north-up Web Mercator grid.
    most_vertices
        Where the lines would have more, they are drawn from a grid half as fine.

    Notes
    -----
    Lines run between the middles of cells. No line is left out for being short and no cell is smoothed, but
    a grid larger than the picture of the relief is first averaged down to it.
    """
    cells = math.ceil(max(relief.elevation_m.shape) / RELIEF_PICTURE_PX)
    grid = _averaged(relief, cells)
    while levels := _levels_of(grid):
        traced = _traced(grid, levels, most_vertices)
        if traced is not None:
            return _contours(grid, levels.step, traced)
        cells *= 2
        grid = _averaged(relief, cells)
    return None


def contour_interval_m(low_m: float, high_m: float) -> int:
    """Return the least of 1, 2, 5, 10, 20, 50 ... metres that gives no more than twenty lines.

    Examples
    --------
    >>> contour_interval_m(880.0, 2190.0), contour_interval_m(3.0, 9.0)
    (100, 1)
    """
    intervals_m: Iterator[int] = (digit * 10**power for power in itertools.count() for digit in (1, 2, 5))
    return next(one for one in intervals_m if _count(low_m, high_m, one) <= MOST_LEVELS)


def _count(low_m: float, high_m: float, interval_m: int) -> int:
    return math.ceil(high_m / interval_m) - math.floor(low_m / interval_m) - 1


def _levels(low_m: float, high_m: float, interval_m: int) -> range:
    """Return the multiples between two heights; a line at the very lowest or highest would follow flats."""
    first = math.floor(low_m / interval_m) + 1
    return range(first * interval_m, math.ceil(high_m / interval_m) * interval_m, interval_m)


def _levels_of(grid: ReliefGrid) -> range:
    """Return the heights of the lines, one interval from the next; none where there is no slope."""
    known_m = grid.elevation_m[np.isfinite(grid.elevation_m)]
    if known_m.size == 0 or min(grid.elevation_m.shape) < 2:
        return range(0)
    low_m, high_m = (float(height) for height in np.quantile(known_m, USUAL_SHARES))
    span_m = high_m - low_m
    lowest_m, highest_m = (
        max(float(known_m.min()), low_m - span_m),
        min(float(known_m.max()), high_m + span_m),
    )
    return _levels(lowest_m, highest_m, contour_interval_m(low_m, high_m))


def _traced(grid: ReliefGrid, levels: range, most_vertices: int) -> dict[int, Lines] | None:
    """Return by level its lines in columns and rows of the grid, or None as soon as these are too many."""
    tracer = contourpy.contour_generator(
        z=grid.elevation_m, name="serial", line_type=contourpy.LineType.ChunkCombinedOffset
    )
    traced: dict[int, Lines] = {}
    room = most_vertices
    for level in levels:
        chunks: Any = tracer.lines(float(level))
        [points], [offsets] = chunks
        if points is None:
            continue
        of_line = np.repeat(np.arange(len(offsets) - 1), np.diff(offsets.astype(np.int64)))
        simple = np.asarray(shapely.simplify(shapely.linestrings(points, indices=of_line), TOLERANCE_CELLS))
        traced[level] = simple
        room -= int(shapely.get_num_coordinates(simple).sum())
        if room < 0:
            return None
    return traced


def _contours(grid: ReliefGrid, interval_m: int, traced: dict[int, Lines]) -> Contours | None:
    decimals = math.ceil(-math.log10(abs(grid.transform.a) / METRES_PER_DEG / STEPS_PER_CELL))
    lines = {level: list(_in_steps(grid, found, decimals)) for level, found in traced.items()}
    lines = {level: found for level, found in lines.items() if found}
    return Contours(interval_m, float(f"1e-{decimals}"), lines) if lines else None


def _in_steps(grid: ReliefGrid, found: Lines, decimals: int) -> Iterator[NDArray[np.int64]]:
    places, of_line = shapely.get_coordinates(found, return_index=True)
    easting_m = grid.transform.c + (places[:, 0] + 0.5) * grid.transform.a
    northing_m = grid.transform.f + (places[:, 1] + 0.5) * grid.transform.e
    to_degrees = transformer_between("EPSG:3857", "EPSG:4326")
    longitude_deg, latitude_deg = to_degrees.transform(easting_m, northing_m)
    beside_deg = near_to(longitude_deg, grid.middle_deg)
    steps = np.round(np.column_stack([beside_deg, latitude_deg]) * 10.0**decimals).astype(np.int64)
    for line in np.split(steps, np.flatnonzero(np.diff(of_line)) + 1):
        is_new = np.any(np.diff(line, axis=0, prepend=line[:1] - 1) != 0, axis=1)
        if is_new.sum() > 1:
            yield line[is_new]


def _averaged(relief: ReliefGrid, cells: int) -> ReliefGrid:
    """Return the grid with so many cells to one on each side; what does not fill a cell is left out."""
    if cells == 1:
        return relief
    rows, columns = (side // cells for side in relief.elevation_m.shape)
    whole = relief.elevation_m[: rows * cells, : columns * cells]
    metres = whole.reshape(rows, cells, columns, cells).mean(axis=(1, 3))
    return ReliefGrid(metres, relief.transform * relief.transform.scale(cells))
