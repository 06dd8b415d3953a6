"""The ground of one site as a chain a reader can redo: its means, and one cell of it with its neighbours."""

from collections.abc import Iterator

import numpy as np
import pandas as pd

from geo_scout.formulas.terrain import aspect_deg, horn_rises, slope_deg
from geo_scout.formulas.terrain_ground import ground_gradient
from geo_scout.formulas.terrain_heat_load import heat_load
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.layers import RasterLayer
from geo_scout.model.sites import Sites
from geo_scout.model.zones import TerrainAsked, ZoneTable
from geo_scout.zones.ground import steps_at
from geo_scout.zones.halo_blocks import read_halo_blocks
from geo_scout.zones.zone_list import PATCH


def read_ground_lines(
    zones: ZoneTable, sites: Sites, index: int, elevation: RasterLayer | None, asked: TerrainAsked
) -> list[str]:
    """Return slope, aspect, heat load and position of one patch, with one of its cells worked out.

    Parameters
    ----------
    zones
        What the rasters say.
    sites
        The patches of one host.
    index
        Row of the patch.
    elevation
        The elevation layer, read once more at one cell; None where the season has none.
    asked
        What the season asks of the ground; with nothing of it no line is returned.

    Raises
    ------
    InputMistakes
        The cell cannot be read.
    """
    if elevation is None or not asked.quantities:
        return []
    row = int(zones.rows_of(PATCH, sites.host, [sites.site_ids[index]])[0])
    lines = list(_means(zones.mean.iloc[row], zones.valid_share.iloc[row], asked))
    place = sites.patches.iloc[index]
    cell = _read_cell(elevation, float(place["longitude_deg"]), float(place["latitude_deg"]), asked)
    return ["The ground, area-weighted over the cells of the patch:", *lines, *cell] if lines else []


def _means(mean: "pd.Series[float]", share: "pd.Series[float]", asked: TerrainAsked) -> Iterator[str]:
    if np.isnan(mean.get("slope_deg", np.nan)):
        yield "  no slope here: a cell needs all its neighbours"
        return
    steep = (
        "" if asked.steep_deg is None else f"; {mean['steep_share']:.2%} of it above {asked.steep_deg:g} deg"
    )
    yield f"  slope {mean['slope_deg']:.4f} deg, on {share['slope']:.2%} of the patch{steep}"
    if np.isfinite(mean["aspect_deg"]):
        yield (
            f"  faces {mean['aspect_deg']:.2f} deg with strength {mean['aspect_strength']:.4f}; "
            f"{mean['aspect_share']:.4f} of it is not flat"
        )
    if np.isfinite(mean.get("heat_load", np.nan)):
        yield f"  heat load {mean['heat_load']:.5f} by equation {asked.heat_load_equation}"
    if np.isfinite(mean.get("relative_position_m", np.nan)):
        yield (
            f"  {mean['relative_position_m']:+.2f} m from the mean of the ground up to "
            f"{asked.surroundings_m:g} m around"
        )


def _read_cell(
    elevation: RasterLayer, longitude_deg: float, latitude_deg: float, asked: TerrainAsked
) -> list[str]:
    """Return the nine elevations around the printed place of the patch, and what follows from them."""
    to_map = transformer_between("EPSG:4326", elevation.crs)
    easting, northing = to_map.transform(longitude_deg, latitude_deg)
    column = np.array([int(np.floor((easting - elevation.transform.c) / elevation.transform.a))])
    row = np.array([int(np.floor((northing - elevation.transform.f) / elevation.transform.e))])
    for block in read_halo_blocks(elevation, row, column, lambda _row, _column: (1, 1)):
        high, wide = int(block.rows[0]), int(block.columns[0])
        nine_m = block.values[high - 1 : high + 2, wide - 1 : wide + 2]
        if np.isnan(nine_m).any():
            return []
        steps = steps_at(elevation, row, column)
        gradient = ground_gradient(*horn_rises(nine_m.reshape(9, 1)), steps)
        slope, aspect = slope_deg(*gradient), aspect_deg(*gradient)
        load = heat_load(slope, aspect, steps.latitude_deg, asked.heat_load_equation)
        faces = "flat, so no aspect" if aspect[0] < 0 else f"aspect {aspect[0]:.2f} deg"
        warm = f", heat load {load[0]:.5f}" if np.isfinite(load[0]) else ""
        return [
            f"  for example the cell at the patch's place, latitude {steps.latitude_deg[0]:.6f}, and its "
            "neighbours, north row first [m]:",
            *(f"    {' '.join(f'{value:.2f}' for value in line)}" for line in nine_m),
            f"    one column on leads {steps.column_east_m[0]:.4f} m east and "
            f"{steps.column_north_m[0]:.4f} m north, one row on {steps.row_east_m[0]:.4f} m east and "
            f"{steps.row_north_m[0]:.4f} m north",
            f"    slope {slope[0]:.4f} deg, {faces}{warm}",
        ]
    return []
