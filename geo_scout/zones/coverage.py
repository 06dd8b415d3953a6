"""Which cells of a grid a zone covers, and how much of each: taken once, used for every band."""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import shapely
from affine import Affine
from exactextract import exact_extract
from exactextract.raster import NumPyRasterSource
from numpy.typing import NDArray
from pyproj import CRS
from scipy.sparse import csr_array

from geo_scout.formulas.longitudes import whole_near_to
from geo_scout.model.layers import goes_round
from geo_scout.zones.zone_features import ZoneFeatures

# About 100 bytes each. Our choice: what a small computer holds.
MOST_CELLS = 50_000_000
ZONES_AT_ONCE = 10_000


class TooManyCells(Exception):
    """Zones cover more cells of a grid than can be listed in memory.

    Parameters
    ----------
    cells
        How many, about.
    """

    def __init__(self, cells: float) -> None:
        super().__init__(f"{cells:,.0f} cells")
        self.cells = cells


@dataclass(frozen=True)
class Coverage:
    """Zones against the cells of one grid.

    Parameters
    ----------
    rows, columns
        (m,) position of each touched cell in the grid; outside the raster where negative or too large.
    weights
        Zone x touched cell: covered area, in cells (projected grids) or square metres (geographic grids).
    """

    rows: NDArray[np.int64]
    columns: NDArray[np.int64]
    weights: csr_array


def measure_coverage(
    zones: gpd.GeoSeries, crs: CRS, transform: Affine, shape: tuple[int, int] | None = None
) -> Coverage:
    """Return the exact coverage of each cell by each zone.

    Parameters
    ----------
    zones
        Polygons or points in any CRS; a point covers the cell it lies in. A missing or empty shape, or
        one with no place on the grid's map, covers nothing.
    crs, transform, shape
        Grid, north up, with its rows and columns; without a shape it has no edge.

    Raises
    ------
    TooManyCells
        The zones cover more than ``MOST_CELLS`` cells.

    Notes
    -----
    The grid is taken to go on beyond the raster, so that a zone over the edge keeps its whole area
    and the share without a value is known; a zone wholly beyond it takes one cell out there. Cells
    of a geographic grid are weighted by their area on the sphere. A zone too thin to cover anything
    measurable takes the cell of a point inside it. On a grid in degrees a zone is looked for at its
    longitude plus or minus whole turns, so that 250 E is 110 W.
    """
    shapes = zones.to_crs(crs).to_numpy()
    if crs.is_geographic and shape is not None:
        shapes = whole_near_to(shapes, transform.c + shape[1] * transform.a / 2)
    bounds = shapely.bounds(shapes)
    has_place = np.isfinite(bounds).all(axis=1)
    is_area = has_place & (shapely.get_dimensions(shapes) == 2)
    if shape is not None:
        is_area &= _meets(bounds, transform, shape, is_round=goes_round(crs, transform, shape[1]))
    covered_cells = float(shapely.area(shapes[is_area]).sum() / abs(transform.a * transform.e))
    if covered_cells > MOST_CELLS:
        raise TooManyCells(covered_cells)
    zone, row, column, weight = _all_polygon_cells(shapes, np.flatnonzero(is_area), crs, transform)
    bare = np.setdiff1d(np.flatnonzero(has_place), np.unique(zone))
    point_column, point_row = _cell_of(shapely.point_on_surface(shapes[bare]), transform)
    zone = np.concatenate([zone, bare])
    row, column = np.concatenate([row, point_row]), np.concatenate([column, point_column])
    if shape is not None and goes_round(crs, transform, shape[1]):
        column = column % shape[1]
    weight = np.concatenate([weight, np.ones(len(bare))])
    # One number for each cell sorts ten times as fast as pairs, in a third of the memory.
    west = column.min(initial=0)
    width = column.max(initial=0) - west + 1
    number = row * width + (column - west)
    del row, column
    numbers, cell_index = np.unique(number, return_inverse=True)
    del number
    matrix = csr_array((weight, (zone, cell_index)), shape=(len(shapes), len(numbers)))
    rows, columns = np.divmod(numbers, width)
    return Coverage(rows=rows, columns=columns + west, weights=matrix)


def _meets(
    bounds: NDArray[np.float64], transform: Affine, shape: tuple[int, int], *, is_round: bool
) -> NDArray[np.bool_]:
    """Return which bounds (west, south, east, north) reach into the raster; a round one has no side."""
    west, north = transform.c, transform.f
    east, south = west + shape[1] * transform.a, north + shape[0] * transform.e
    across = is_round | ((bounds[:, 0] < east) & (bounds[:, 2] > west))
    return np.asarray(across & (bounds[:, 1] < north) & (bounds[:, 3] > south))


def _all_polygon_cells(
    shapes: NDArray[np.object_], which: NDArray[np.intp], crs: CRS, transform: Affine
) -> tuple[NDArray[np.intp], NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Return what ``_polygon_cells`` does, some zones at a time: its workings take three times the memory."""
    starts = range(0, max(len(which), 1), ZONES_AT_ONCE)
    parts = [_polygon_cells(shapes, which[i : i + ZONES_AT_ONCE], crs, transform) for i in starts]
    zone, row, column, weight = (np.concatenate(part) for part in zip(*parts, strict=True))
    return zone, row, column, weight


def _polygon_cells(
    shapes: NDArray[np.object_], which: NDArray[np.intp], crs: CRS, transform: Affine
) -> tuple[NDArray[np.intp], NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Return zone, row, column and weight of every covered cell, zone by zone."""
    if len(which) == 0:
        nothing = np.zeros(0, dtype=np.int64)
        return nothing, nothing, nothing, np.zeros(0)
    west, south, east, north = shapely.total_bounds(shapes[which])
    first_column, last_column = (
        np.floor((west - transform.c) / transform.a),
        np.ceil((east - transform.c) / transform.a),
    )
    first_row, last_row = (
        np.floor((north - transform.f) / transform.e),
        np.ceil((south - transform.f) / transform.e),
    )
    width, height = int(max(last_column - first_column, 1)), int(max(last_row - first_row, 1))
    grid = NumPyRasterSource(
        np.broadcast_to(np.uint8(0), (height, width)),
        xmin=transform.c + first_column * transform.a,
        xmax=transform.c + (first_column + width) * transform.a,
        ymin=transform.f + (first_row + height) * transform.e,
        ymax=transform.f + first_row * transform.e,
        srs_wkt=crs.to_wkt(),
    )
    kind = "area_spherical_m2" if crs.is_geographic else "fraction"
    zones = ZoneFeatures(shapes[which], crs)
    covered = exact_extract(grid, zones, ["cell_id", f"coverage(coverage_weight={kind})"], output="pandas")
    counts = [len(ids) for ids in covered["cell_id"]]
    cell_id = np.concatenate([*covered["cell_id"], np.zeros(0, dtype=np.int64)]).astype(np.int64)
    weight = np.concatenate([*covered["coverage"], np.zeros(0)]).astype(np.float64)
    zone = np.repeat(which, counts)
    row, column = cell_id // width + int(first_row), cell_id % width + int(first_column)
    is_covered = weight > 0
    return zone[is_covered], row[is_covered], column[is_covered], weight[is_covered]


def _cell_of(points: NDArray[np.object_], transform: Affine) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    column = np.floor((shapely.get_x(points) - transform.c) / transform.a)
    row = np.floor((shapely.get_y(points) - transform.f) / transform.e)
    return column.astype(np.int64), row.astype(np.int64)
