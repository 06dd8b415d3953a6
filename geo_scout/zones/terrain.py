"""Slope, aspect, heat load and relative position of zones, from the cells they cover and no others."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.terrain import aspect_deg, horn_rises, slope_deg
from geo_scout.formulas.terrain_direction import mean_direction_deg
from geo_scout.formulas.terrain_ground import ground_gradient
from geo_scout.formulas.terrain_heat_load import heat_load
from geo_scout.formulas.terrain_position import relative_position_m
from geo_scout.model.layers import RasterLayer
from geo_scout.model.zones import TerrainAsked
from geo_scout.zones.coverage import Coverage
from geo_scout.zones.ground import steps_at
from geo_scout.zones.halo_blocks import Halo, HaloBlock, read_halo_blocks
from geo_scout.zones.zone_sums import ZoneSums

HEAT_LOAD, RELATIVE_POSITION = "heat_load", "relative_position_m"
_SINE, _COSINE = "sine of aspect", "cosine of aspect"

MOST_REACH = 1024
"""Surroundings of more cells than this in one direction would not fit in memory: there are none then."""


@dataclass(frozen=True)
class TerrainOfZones:
    """What the shape of the ground is in each zone.

    Parameters
    ----------
    mean
        Quantity to (zones,) area-weighted mean over the cells that have it; nan where none has.
    valid_share
        ``elevation``, ``slope`` and what else was asked for to (zones,) share of the zone's area on cells
        that have a value [share].
    """

    mean: Mapping[str, NDArray[np.float64]]
    valid_share: Mapping[str, NDArray[np.float64]]


def read_terrain(elevation: RasterLayer, coverage: Coverage, asked: TerrainAsked) -> TerrainOfZones:
    """Return elevation and the shape of the ground of every zone, in one pass over the raster.

    Parameters
    ----------
    elevation
        The elevation raster, in metres by its scale and offset.
    coverage
        Which of its cells each zone covers, and how much of each.
    asked
        Heat load and relative position are computed only where asked for.

    Raises
    ------
    InputMistakes
        A block of the file cannot be read.

    Notes
    -----
    Slope and aspect are those of single cells at the raster's own resolution, by Horn's window of nine
    cells; one of them missing, as at the raster's edge, leaves the cell without a slope. Distances
    are true on the ellipsoid and aspects are from true north, whatever the projection. A flat cell
    has no aspect; the aspect of a zone is the mean of unit vectors. Heat load is that of each cell,
    then averaged. Relative position is against the square that reaches ``surroundings_m`` in each
    direction of the grid; its size in cells is that of the middle of the 512-cell square it lies in.
    """
    sums = ZoneSums(coverage.weights)
    for block in read_halo_blocks(elevation, coverage.rows, coverage.columns, _halo_of(elevation, asked)):
        sums.add(block.cells, _cells_of(elevation, block, asked))
    return _means_of(sums, asked)


def _halo_of(elevation: RasterLayer, asked: TerrainAsked) -> Halo:
    """Return how many rows and columns around a cell are looked at in a square; 0 for no surroundings."""

    def halo(row: float, column: float) -> tuple[int, int]:
        if RELATIVE_POSITION not in asked.quantities:
            return (0, 0)
        middle = (min(int(row), elevation.height - 1), min(int(column), elevation.width - 1))
        steps = steps_at(elevation, *(np.array([one], dtype=np.int64) for one in middle))
        cell_m = np.array([steps.row_m[0], steps.column_m[0]])
        if not (cell_m > asked.surroundings_m / MOST_REACH).all():
            return (0, 0)
        down, along = np.maximum(np.rint(asked.surroundings_m / cell_m), 1.0).astype(int).tolist()
        return (down, along)

    return halo


def _cells_of(
    elevation: RasterLayer, block: HaloBlock, asked: TerrainAsked
) -> dict[str, NDArray[np.float64]]:
    """Return each quantity in the chosen cells of one block; nan where it is missing."""
    here = block.rows * block.values.shape[1] + block.columns
    window = [down * block.values.shape[1] + along for down in (-1, 0, 1) for along in (-1, 0, 1)]
    nine_m = block.values.ravel()[here + np.array(window)[:, None]]
    steps = steps_at(elevation, block.north + block.rows, block.west + block.columns)
    east, north = ground_gradient(*horn_rises(nine_m), steps)
    slope, fall = slope_deg(east, north), np.hypot(east, north)
    is_flat = fall == 0.0
    slopes = np.where(np.isnan(slope), np.nan, (~is_flat).astype(np.float64))
    # A flat cell has no aspect and counts with nothing; dividing its fall of 0 by 1 keeps it 0.
    fall[is_flat] = 1.0
    found = {
        "elevation_m": nine_m[4],
        "slope_deg": slope,
        "aspect_share": slopes,
        _SINE: 0.0 - east / fall,
        _COSINE: 0.0 - north / fall,
    }
    if asked.steep_deg is not None:
        found["steep_share"] = np.where(np.isnan(slope), np.nan, (slope > asked.steep_deg).astype(np.float64))
    if HEAT_LOAD in asked.quantities:
        aspect = aspect_deg(east, north)
        found[HEAT_LOAD] = heat_load(slope, aspect, steps.latitude_deg, asked.heat_load_equation)
    if RELATIVE_POSITION in asked.quantities and min(block.halo) > 0:
        found[RELATIVE_POSITION] = relative_position_m(block.values, block.rows, block.columns, block.halo)
    return found


def _means_of(sums: ZoneSums, asked: TerrainAsked) -> TerrainOfZones:
    direction_deg, strength = mean_direction_deg(
        sums.total(_SINE), sums.total(_COSINE), sums.total("aspect_share")
    )
    mean = {name: sums.mean(name) for name in ("elevation_m", "slope_deg", "aspect_share", "steep_share")}
    mean |= {"aspect_deg": direction_deg, "aspect_strength": strength}
    share = {"elevation": sums.share("elevation_m"), "slope": sums.share("slope_deg")}
    for name, short in ((HEAT_LOAD, "heat_load"), (RELATIVE_POSITION, "relative_position")):
        if name in asked.quantities:
            mean[name], share[short] = sums.mean(name), sums.share(name)
    return TerrainOfZones(mean, share)
