"""Roads that go where roads go: along valleys, through towns, joining others on the way."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra
from shapely import LineString

from making.frame import COARSE_M, NORTH_M, WEST_M, Floats, chance, grid_shape, settle
from making.lines import round_off
from making.names import TOWNS
from making.relief import Ground, river_line_m
from making.streams import MAIN_KM2, cell_place

Road = tuple[str, LineString]
TRACKS = 34


def _cell_at(easting_m: float, northing_m: float) -> int:
    """Return the coarse cell that holds this place."""
    return int((NORTH_M - northing_m) / COARSE_M) * grid_shape(COARSE_M)[1] + int(
        (easting_m - WEST_M) / COARSE_M
    )


def _cost_graph(ground: Ground, built: NDArray[np.bool_]) -> csr_matrix:
    """Return what a step costs [m of level road]: slopes are dear, bridges dearer, ready roads cheap."""
    height = ground.coarse.values
    river = ground.drainage.area_km2.reshape(height.shape) > MAIN_KM2
    rows, columns = height.shape
    cell = np.arange(rows * columns).reshape(rows, columns)
    parts: list[tuple[NDArray[np.intp], NDArray[np.intp], Floats]] = []
    for down, right in ((0, 1), (1, 0), (1, 1), (1, -1)):
        here = (slice(0, rows - down), slice(max(-right, 0), columns - max(right, 0)))
        there = (slice(down, rows), slice(max(right, 0), columns + min(right, 0)))
        length_m = COARSE_M * (2.0**0.5 if down and right else 1.0)
        slope = np.abs(height[there] - height[here]) / length_m
        cost = length_m * (1 + (slope / 0.05) ** 2) + 900.0 * river[there] + 300.0 * river[here]
        cost = settle(cost * np.where(built[there] & built[here], 0.25, 1.0), 3)
        parts.append((cell[here].ravel(), cell[there].ravel(), cost.ravel()))
    tail, head, cost = (np.concatenate(column) for column in zip(*parts, strict=True))
    both = (np.concatenate([cost, cost]), (np.concatenate([tail, head]), np.concatenate([head, tail])))
    return csr_matrix(both, shape=(rows * columns, rows * columns))


def _lay(ground: Ground, built: NDArray[np.bool_], start: int, end: int) -> Iterator[list[int]]:
    """Return the new stretches of the cheapest way from start to end, as cells; `built` is marked."""
    _, before = dijkstra(_cost_graph(ground, built), indices=np.array([start]), return_predecessors=True)
    way = [end]
    while way[-1] != start:
        way.append(int(before[0, way[-1]]))
    flat = built.ravel()
    stretch = [way[0]]
    for cell in way[1:]:
        stretch.append(cell)
        if flat[cell]:
            if any(not flat[part] for part in stretch):
                yield stretch
            stretch = [cell]
    if len(stretch) > 1:
        yield stretch
    flat[way] = True


def _ends(ground: Ground) -> Iterator[tuple[str, int, int]]:
    """Return class and two end cells of every road, the important ones first."""
    town = {name: _cell_at(*place) for name, place in TOWNS.items()}
    west, east = (
        _cell_at(edge, river_line_m(np.array([edge]))[0] + 1_000) for edge in (588_100.0, 629_900.0)
    )
    yield from (("main road", west, town["Quillen Ford"]), ("main road", town["Quillen Ford"], east))
    for first, second in (
        ("Quillen Ford", "Marrock"),
        ("Quillen Ford", "Orrin"),
        ("Saltwick", "Quillen Ford"),
        ("Tessock", "Quillen Ford"),
        ("Upper Marrock", "Marrock"),
    ):
        yield "secondary road", town[first], town[second]
    yield "secondary road", town["Saltwick"], _cell_at(629_800, 5_220_000)
    yield "secondary road", town["Marrock"], _cell_at(629_800, 5_236_500)
    yield "secondary road", town["Tessock"], _cell_at(588_200, 5_211_500)
    random = chance("tracks")
    area, height = ground.drainage.area_km2, ground.coarse.values.ravel()
    valley = np.flatnonzero((area > 2.5) & (area < 40) & (height < 1_450))
    for cell in random.permutation(valley)[:TRACKS].tolist():
        nearest = min(
            town.values(), key=lambda place: np.hypot(*np.subtract(cell_place(place), cell_place(cell)))
        )
        yield "track", nearest, cell


def make_roads(ground: Ground) -> list[Road]:
    """Return all roads, class and line."""
    built = np.zeros(grid_shape(COARSE_M), dtype=bool)
    roads = []
    for road_class, start, end in _ends(ground):
        for cells in _lay(ground, built, start, end):
            line = round_off(LineString([cell_place(cell) for cell in cells]))
            if line.length > 300:
                roads.append((road_class, line))
    return roads
