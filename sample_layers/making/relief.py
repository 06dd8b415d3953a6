"""Ground shaped by water: uplift, rivers that cut down, valley floors that fill up."""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from making.flow import Drainage, choose_receivers, cut_down, fill_hollows
from making.frame import (
    COARSE_M,
    EAST_M,
    FINE_M,
    NORTH_M,
    ROUGH_M,
    WEST_M,
    Floats,
    Raster,
    cell_centres,
    chance,
    grid_shape,
    settle,
)
from making.noise import draw_fractal, make_ridged

OUTLET_M = 900.0
UPLIFT_M = 5.0
# Ground above the picture's western edge whose water the main river brings along [km2].
INFLOW_KM2 = 2500.0
# Streams that drain more than this have a flat floor: (least area [km2], half width [m]).
FLOORS = ((8.0, 200.0), (60.0, 420.0), (1000.0, 1000.0))


@dataclass(frozen=True)
class Ground:
    """The finished ground.

    Attributes
    ----------
    fine
        Elevation [m], 30 m cells.
    coarse
        Elevation [m], 120 m cells.
    drainage
        Where water goes on the coarse grid.
    """

    fine: Raster
    coarse: Raster
    drainage: Drainage


def river_line_m(easting_m: Floats) -> Floats:
    """Return northing [m] of the main valley's axis at these eastings [m]."""
    along = (easting_m - WEST_M) / (EAST_M - WEST_M)
    swing = (
        2_400.0 * np.sin(5.2 * along) + 1_300.0 * np.sin(14.0 * along + 1.0) + 500.0 * np.sin(37.0 * along)
    )
    return settle(5_214_500.0 + 9_500.0 * along + swing, 1)


def _uplift(cell_m: float) -> Floats:
    """Return how fast the ground rises, about 0-1: massif in the north-west, range in the south, benches."""
    east, north = cell_centres(cell_m)
    massif = np.exp(-(((east - 600_000) / 10_500) ** 2) - (((north - 5_240_000) / 9_000) ** 2))
    butte = 0.7 * np.exp(-(((east - 624_500) / 5_500) ** 2) - (((north - 5_241_000) / 6_000) ** 2))
    range_south = np.exp(-(((north - 5_203_000 - 0.12 * (east - WEST_M)) / 5_600) ** 2))
    folds = make_ridged(draw_fractal("folds", cell_m, 9_000, 1.9))
    wobble = draw_fractal("wobble", cell_m, 12_000, 2.2)
    whole = (
        np.clip(massif + butte + 0.9 * range_south, 0, 1.1) * (0.35 + 0.75 * folds) + 0.09 + 0.035 * wobble
    )
    return settle(ndimage.gaussian_filter(np.clip(whole, 0.03, None), 300 / cell_m))


def _first_surface(uplift: Floats, cell_m: float) -> Floats:
    """Return the ground before the rivers start [m]: a trough along the valley's axis, already draining."""
    east, north = cell_centres(cell_m)
    off_axis_km = np.abs(north - river_line_m(east)) / 1000
    downstream_km = (EAST_M - east) / 1000
    rough = draw_fractal("rough", cell_m, 7_000, 1.6)
    return settle(OUTLET_M + 1.6 * downstream_km + 16 * off_axis_km + 120 * uplift + 34 * rough, 2)


def _shape(first_m: Floats | None, cell_m: float, rounds: int) -> tuple[Floats, Drainage]:
    """Return elevation [m] and drainage after so many rounds of uplift and cutting on one grid."""
    uplift = _uplift(cell_m)
    rows, columns = grid_shape(cell_m)
    ends_m = river_line_m(np.array([EAST_M - 100, WEST_M + 100]))
    outlet_row, inflow_row = ((NORTH_M - ends_m) / cell_m).astype(int).tolist()
    outlet = outlet_row * columns + columns - 1
    area_km2 = np.full(rows * columns, cell_m**2 / 1e6)
    area_km2[inflow_row * columns] += INFLOW_KM2
    step_m = settle(0.02 + 0.5 * chance("steps").random((rows, columns)))
    elevation_m = fill_hollows(_first_surface(uplift, cell_m) if first_m is None else first_m, outlet, step_m)
    ease = settle(0.30 / (1.0 + 0.35 * np.tanh(draw_fractal("rock", cell_m, 7_000, 1.8))))
    for _ in range(rounds):
        drainage = choose_receivers(elevation_m, outlet, cell_m, area_km2)
        elevation_m = cut_down(elevation_m + UPLIFT_M * uplift, drainage, ease)
        elevation_m.flat[outlet] = OUTLET_M
    elevation_m = fill_hollows(settle(elevation_m, 2), outlet, np.full((rows, columns), 0.02))
    return elevation_m, choose_receivers(elevation_m, outlet, cell_m, area_km2)


def _refine(elevation_m: Floats, from_m: float, to_m: float) -> Floats:
    """Return the same surface on a finer grid [m], by cubic interpolation between cell centres."""
    rows, columns = grid_shape(to_m)
    row = (np.arange(rows) + 0.5) * to_m / from_m - 0.5
    column = (np.arange(columns) + 0.5) * to_m / from_m - 0.5
    where = np.meshgrid(row, column, indexing="ij")
    return settle(ndimage.map_coordinates(elevation_m, where, order=3, mode="nearest"), 2)


def _flatten_floors(elevation_m: Floats, drainage: Drainage) -> Floats:
    """Return elevation [m] with valley floors as wide as their streams are large."""
    area_km2 = drainage.area_km2.reshape(elevation_m.shape)
    result = elevation_m
    for least_km2, half_width_m in FLOORS:
        away_m, (row, column) = ndimage.distance_transform_edt(
            area_km2 < least_km2, sampling=COARSE_M, return_indices=True
        )
        floor_m = result[row, column] + 0.004 * away_m
        share = np.clip(away_m / half_width_m, 0, 1)
        share = share * share * (3 - 2 * share)
        result = settle(np.where(result > floor_m, floor_m + (result - floor_m) * share, result), 2)
    return result


def make_ground() -> Ground:
    """Return the ground of the whole district, on both grids."""
    rough_m, _ = _shape(None, ROUGH_M, 140)
    first_m = _refine(rough_m, ROUGH_M, COARSE_M) + 4 * draw_fractal("knobs", COARSE_M, 1_500, 1.5)
    cut_m, drainage = _shape(settle(first_m, 2), COARSE_M, 30)
    coarse_m = settle(ndimage.gaussian_filter(_flatten_floors(cut_m, drainage), 0.6), 2)
    fine_m = _refine(coarse_m, COARSE_M, FINE_M)
    steep = ndimage.gaussian_filter(np.hypot(*np.gradient(fine_m, FINE_M)), 4)
    gullies = make_ridged(draw_fractal("gullies", FINE_M, 600, 1.9))
    grain = draw_fractal("grain", FINE_M, 240, 1.3)
    fine_m = settle(fine_m + np.clip(steep, 0.004, 0.4) * (-50 * (gullies - gullies.mean()) + 5 * grain), 0)
    return Ground(Raster(fine_m, FINE_M), Raster(coarse_m, COARSE_M), drainage)
