"""Zonal means of every raster, and the climate they make."""

from collections.abc import Mapping

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.sparse import csr_array

from geo_scout.errors import InputMistakes
from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.bioclim_convention import BioclimConvention
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.finding import Finding
from geo_scout.model.layers import RasterLayer
from geo_scout.model.quantities import CLIMATE_VARIABLES, EXTREMES, TERRAIN_QUANTITIES
from geo_scout.model.zones import TerrainAsked, ZoneTable
from geo_scout.zones.at_cells import grid_of, is_same_grid, values_at_cells_of
from geo_scout.zones.cells import read_cells
from geo_scout.zones.coverage import MOST_CELLS, Coverage, TooManyCells, measure_coverage
from geo_scout.zones.downscale import CELL_HEIGHT, downscale, lapse_rule
from geo_scout.zones.terrain import read_terrain
from geo_scout.zones.zone_list import REFERENCE

ELEVATION = "elevation"
MONTHLY = ("tmin", "tmax", "precipitation")
HEIGHTS = ("elevation_m", f"{CELL_HEIGHT}_m")
NO_TERRAIN = TerrainAsked()
STANDARD_CLIMATE = ClimateTable()


def read_zones(
    rasters: Mapping[str, RasterLayer],
    zones: gpd.GeoDataFrame,
    terrain: TerrainAsked = NO_TERRAIN,
    climate: ClimateTable = STANDARD_CLIMATE,
) -> ZoneTable:
    """Return what the rasters say of every zone.

    Parameters
    ----------
    rasters
        Raster layers by name.
    zones
        Polygons or points, one row per zone; the index is kept, and its first level may be the kind. A
        column ``stated_elevation_m`` overrules the elevation raster where it has a value.
    terrain
        What is asked of the shape of the ground; it is taken from the elevation raster in the same pass.
    climate
        How climate is brought to a zone's elevation, and which convention its variables follow.

    Raises
    ------
    InputMistakes
        A block of a file cannot be read, or the zones cover too many cells of a raster.

    Notes
    -----
    The coverage of a grid's cells is taken once and applied to all bands of all rasters on it as
    one sparse product. The monthly rasters are averaged first; the bioclimatic variables follow
    from the averages. A ready bioclim raster is used instead of the monthly ones. Reference land is
    asked of the climate rasters only: a district has millions of elevation cells that nobody needs.
    """
    coverages: dict[tuple[object, ...], Coverage] = {}
    means: dict[str, NDArray[np.float64]] = {}
    shares: dict[str, NDArray[np.float64]] = {}
    cells: dict[str, NDArray[np.float64]] = {}
    for name, raster in rasters.items():
        key = _key_of(raster)
        if key not in coverages:
            coverages[key] = _coverage(raster, _asked_of(raster, zones))
        coverage = coverages[key]
        if name == ELEVATION and terrain.quantities:
            ground = read_terrain(raster, coverage, terrain)
            means, shares = means | dict(ground.mean), shares | dict(ground.valid_share)
            continue
        cells[name] = read_cells(raster, coverage.rows, coverage.columns)
        mean, shares[name] = average(coverage.weights, cells[name])
        means |= dict(zip(raster.bands, mean, strict=True))
    of_cells = {band: mean for band, mean in means.items() if band.startswith(("tmin", "tmax"))}
    correction = _bring_to_elevation(rasters, zones, means, climate)
    convention = BioclimConvention(climate.divisor, climate.precipitation_plus_one, climate.quarters)
    variables = _climate_of_zones(rasters, means, convention)
    table = {name: means[name] for name in (*HEIGHTS, *EXTREMES, *TERRAIN_QUANTITIES) if name in means}
    climate_cells, touches = _climate_cells(rasters, coverages, cells, len(zones), convention)
    return ZoneTable(
        mean=pd.DataFrame(table | variables, index=zones.index),
        valid_share=pd.DataFrame(shares, index=zones.index),
        climate_cells=climate_cells,
        touches=touches,
        monthly=pd.DataFrame(
            {band: mean for band, mean in means.items() if band.startswith(MONTHLY)}, index=zones.index
        ),
        correction=correction,
        cell_monthly=pd.DataFrame(of_cells if len(correction.columns) else {}, index=zones.index),
    )


def _coverage(raster: RasterLayer, asked: gpd.GeoSeries) -> Coverage:
    try:
        return measure_coverage(asked, raster.crs, raster.transform, (raster.height, raster.width))
    except TooManyCells as found:
        grid, degrees = raster.transform, raster.crs.is_geographic
        unit = "degrees" if degrees else raster.crs.axis_info[0].unit_name
        what = (
            f"sites and populations cover about {found.cells / 1e6:,.0f} million of its cells of "
            f"{grid.a:g} x {-grid.e:g} {unit}; at most {MOST_CELLS / 1e6:,.0f} million are read."
        )
        fix = "Resample it to larger cells in your GIS, for instance of 10 m."
        raise InputMistakes([Finding("raster-too-fine", "stop", raster.name, "", what, fix)]) from found


def average(
    weights: csr_array, values: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the weighted mean over the cells with a value, and the share of weight they carry.

    Parameters
    ----------
    weights
        (zones, cells) covered area.
    values
        (bands, cells); nan where missing.

    Returns
    -------
    tuple
        Means (bands, zones), nan where no cell has a value; share (zones,) of the worst band.
    """
    is_valid = np.isfinite(values)
    total = np.asarray(weights.sum(axis=1), dtype=np.float64)
    valid = weights @ is_valid.T.astype(np.float64)
    weighted_sum = weights @ np.where(is_valid, values, 0.0).T
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(valid > 0, weighted_sum / valid, np.nan)
        share = np.where(total > 0, valid.min(axis=1, initial=np.inf) / total, 0.0)
    return mean.T, np.minimum(share, 1.0)


def _bring_to_elevation(
    rasters: Mapping[str, RasterLayer],
    zones: gpd.GeoDataFrame,
    means: dict[str, NDArray[np.float64]],
    climate: ClimateTable,
) -> pd.DataFrame:
    """Replace the monthly temperatures by those at each zone's own elevation; say by how much."""
    needed = ("tmin", "tmax", CELL_HEIGHT, ELEVATION)
    if not climate.downscale or not all(name in rasters for name in needed) or not len(zones):
        return pd.DataFrame(index=zones.index)
    height = means["elevation_m"]
    if "stated_elevation_m" in zones:
        stated = zones["stated_elevation_m"].to_numpy(dtype=np.float64)
        height = np.where(np.isnan(stated), height, stated)
    moved = downscale(rasters, zones, means, height, lapse_rule(climate))
    means |= dict(zip(rasters["tmin"].bands, moved.tmin_degc, strict=True))
    means |= dict(zip(rasters["tmax"].bands, moved.tmax_degc, strict=True))
    return pd.DataFrame(
        {
            "climate_tmin_correction_degc": moved.tmin_correction_degc,
            "climate_tmax_correction_degc": moved.tmax_correction_degc,
            "climate_note": moved.note,
        },
        index=zones.index,
    )


def _key_of(raster: RasterLayer) -> tuple[object, ...]:
    """Return what two rasters must share to share one coverage: the grid and the zones asked."""
    return (*grid_of(raster), raster.name == ELEVATION)


def _asked_of(raster: RasterLayer, zones: gpd.GeoDataFrame) -> gpd.GeoSeries:
    """Return the zones' shapes, those of reference land missing for elevation."""
    is_reference = zones.index.get_level_values(0) == REFERENCE
    asked = zones.geometry.mask(is_reference) if raster.name == ELEVATION else zones.geometry
    return gpd.GeoSeries(asked, crs=zones.crs)


def _climate_of_zones(
    rasters: Mapping[str, RasterLayer],
    means: Mapping[str, NDArray[np.float64]],
    convention: BioclimConvention,
) -> dict[str, NDArray[np.float64]]:
    if "bioclim" in rasters:
        return {name: means[name] for name in rasters["bioclim"].bands if name in CLIMATE_VARIABLES}
    if all(name in rasters for name in MONTHLY):
        stacks = [np.stack([means[band] for band in rasters[name].bands]) for name in MONTHLY]
        return bioclim(*stacks, convention=convention)
    return {}


def _climate_cells(
    rasters: Mapping[str, RasterLayer],
    coverages: Mapping[tuple[object, ...], Coverage],
    cells: Mapping[str, NDArray[np.float64]],
    zone_count: int,
    convention: BioclimConvention,
) -> tuple[pd.DataFrame, csr_array]:
    """Return the bioclimatic variables of every touched climate cell, and which zone touches which."""
    if "bioclim" in rasters:
        raster = rasters["bioclim"]
        table = pd.DataFrame(dict(zip(raster.bands, cells["bioclim"], strict=True)))
        return table, _touches(coverages[_key_of(raster)])
    if not all(name in rasters for name in MONTHLY):
        return pd.DataFrame(), csr_array((zone_count, 0))
    lead = rasters["tmin"]
    coverage = coverages[_key_of(lead)]
    stacks = [
        cells[name]
        if is_same_grid(rasters[name], lead)
        else values_at_cells_of(lead, coverage.rows, coverage.columns, rasters[name])
        for name in MONTHLY
    ]
    return pd.DataFrame(bioclim(*stacks, convention=convention)), _touches(coverage)


def _touches(coverage: Coverage) -> csr_array:
    touches = coverage.weights.copy()
    touches.data = np.ones_like(touches.data)
    return touches
