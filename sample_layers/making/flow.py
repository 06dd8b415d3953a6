"""Where water goes on a grid, and how it lowers the ground.

References
----------
Braun, J. and Willett, S. D. (2013), Geomorphology 180-181, 170-179: the implicit stream-power step used here.
Barnes, R., Lehman, C. and Mulla, D. (2014), Computers and Geosciences 62, 117-127: filling hollows.
Both from memory; the code is our own.
"""

import heapq
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from making.frame import Floats

STEPS = [(-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1)]
# Loose ground does not stand steeper than about 30 degrees.
STEEPEST = 0.58


@dataclass(frozen=True)
class Drainage:
    """Water's way over a grid of `rows x columns` cells, counted row by row.

    Attributes
    ----------
    receiver
        The cell each cell's water goes to; the outlet is its own receiver.
    reach_m
        Distance to the receiver [m].
    order
        All cells from the outlet upwards: a receiver comes before its givers.
    area_km2
        Ground that drains through the cell [km2].
    """

    receiver: NDArray[np.intp]
    reach_m: Floats
    order: NDArray[np.intp]
    area_km2: Floats


def fill_hollows(elevation_m: Floats, outlet: int, step_m: Floats) -> Floats:
    """Return elevation [m] raised just so that every cell drains to the outlet, shape (rows, columns).

    `step_m` is the least rise from a cell's receiver to itself [m], shape (rows, columns); uneven steps keep
    water from running in parallel lines over filled ground.
    """
    rows, columns = elevation_m.shape
    level = elevation_m.ravel().tolist()
    step = step_m.ravel().tolist()
    done = [False] * len(level)
    heap = [(level[outlet], outlet)]
    done[outlet] = True
    while heap:
        height, cell = heapq.heappop(heap)
        row, column = divmod(cell, columns)
        for down, right in STEPS:
            near_row, near_column = row + down, column + right
            if 0 <= near_row < rows and 0 <= near_column < columns:
                near = near_row * columns + near_column
                if not done[near]:
                    done[near] = True
                    level[near] = max(level[near], height + step[near])
                    heapq.heappush(heap, (level[near], near))
    return np.array(level).reshape(rows, columns)


def choose_receivers(elevation_m: Floats, outlet: int, cell_m: float, own_area_km2: Floats) -> Drainage:
    """Return the drainage of a surface: each cell gives to its steepest lower neighbour.

    Parameters
    ----------
    elevation_m
        Elevation without hollows [m], shape (rows, columns).
    outlet
        The cell where all water leaves.
    cell_m
        Cell width [m].
    own_area_km2
        Ground each cell brings itself [km2], shape (rows x columns,).
    """
    rows, columns = elevation_m.shape
    padded = np.pad(elevation_m, 1, constant_values=np.inf)
    best = np.zeros((rows, columns))
    index = np.arange(rows * columns).reshape(rows, columns)
    receiver = index.copy()
    reach_m = np.full((rows, columns), cell_m)
    for down, right in STEPS:
        length_m = cell_m * (2.0**0.5 if down and right else 1.0)
        neighbour = padded[1 + down : 1 + down + rows, 1 + right : 1 + right + columns]
        fall = (elevation_m - neighbour) / length_m
        better = fall > best
        best = np.where(better, fall, best)
        receiver = np.where(better, index + down * columns + right, receiver)
        reach_m = np.where(better, length_m, reach_m)
    receiver.flat[outlet] = outlet
    order = np.argsort(elevation_m.ravel(), kind="stable")
    area = own_area_km2.tolist()
    target = receiver.ravel().tolist()
    for cell in reversed(order.tolist()):
        below = target[cell]
        if below != cell:
            area[below] += area[cell]
    return Drainage(receiver.ravel(), reach_m.ravel(), order, np.array(area))


def cut_down(elevation_m: Floats, drainage: Drainage, ease: Floats) -> Floats:
    """Return elevation [m] after one round of rivers cutting in, shape (rows, columns).

    Notes
    -----
    Lowering = ease x sqrt(area) x slope, solved from the outlet upwards so that a large step stays stable.
    A slope steeper than STEEPEST slides down to it.
    """
    highest = (STEEPEST * drainage.reach_m).tolist()
    strength = (ease.ravel() * np.sqrt(drainage.area_km2) * 100.0 / drainage.reach_m).tolist()
    level = elevation_m.ravel().tolist()
    target = drainage.receiver.tolist()
    for cell in drainage.order.tolist():
        below = target[cell]
        if below != cell:
            base, pull = level[below], strength[cell]
            lowered = (level[cell] + pull * base) / (1.0 + pull)
            # Seven million times: comparing is twice as fast as min and max.
            lowest, steepest = base + 0.01, base + highest[cell]
            level[cell] = lowest if lowered < lowest else steepest if lowered > steepest else lowered
    return np.array(level).reshape(elevation_m.shape)
