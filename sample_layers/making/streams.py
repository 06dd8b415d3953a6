"""The lines that water follows, read off the drained ground."""

import numpy as np
from shapely import LineString

from making.frame import COARSE_M, NORTH_M, WEST_M, grid_shape
from making.lines import round_off
from making.relief import Ground

MAIN_KM2 = 2000.0
BROOK_KM2 = 8.0


def cell_place(cell: int) -> tuple[float, float]:
    """Return easting and northing of a coarse cell's centre [m]."""
    row, column = divmod(cell, grid_shape(COARSE_M)[1])
    return WEST_M + (column + 0.5) * COARSE_M, NORTH_M - (row + 0.5) * COARSE_M


def trace_streams(ground: Ground, least_km2: float) -> list[LineString]:
    """Return every stream that drains at least this much [km2], from its head to where it joins another."""
    drainage = ground.drainage
    wet = drainage.area_km2 >= least_km2
    fed = np.zeros(wet.shape, dtype=bool)
    fed[drainage.receiver[wet]] = True
    heads = np.flatnonzero(wet & ~fed)
    seen: set[int] = set()
    lines = []
    # Long rivers first, so that a brook ends where it meets one already drawn.
    for head in sorted(heads.tolist(), key=lambda cell: (-drainage.area_km2[cell], cell)):
        cells = [head]
        while cells[-1] not in seen:
            seen.add(cells[-1])
            below = int(drainage.receiver[cells[-1]])
            if below == cells[-1]:
                break
            cells.append(below)
        if len(cells) > 3:
            lines.append(round_off(LineString([cell_place(cell) for cell in cells])))
    return lines


def trace_main_river(ground: Ground) -> LineString:
    """Return the one river that crosses the whole piece of ground, from west to east."""
    return max(trace_streams(ground, MAIN_KM2), key=lambda line: line.length)
