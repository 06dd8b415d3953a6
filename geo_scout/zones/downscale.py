"""Monthly temperatures brought from the height of the climate cells to the height of each zone."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import geopandas as gpd
import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.elevation_correction import correct_to_elevation
from geo_scout.formulas.lapse_rates import fit_lapse_rates
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.lapse_rates import (
    STANDARD_LAPSE_RULE,
    ClimateCells,
    ElevationCorrection,
    LapseRateRule,
    RateSource,
)
from geo_scout.model.layers import RasterLayer
from geo_scout.zones.at_cells import values_at_cells_of

CELL_HEIGHT = "climate_elevation"
_M_PER_DEGREE = 111_320.0
# 36 bands of so many cells are half a gigabyte; a window that holds more is thinned evenly.
_MOST_CELLS = 1_000_000


@dataclass(frozen=True)
class Downscaled:
    """Monthly temperatures at the zones' own elevation.

    Parameters
    ----------
    tmin_degc, tmax_degc
        (12, n) [degC].
    tmin_correction_degc, tmax_correction_degc
        (n,) mean of what was added over the year; nan where nothing could be [degC].
    note
        (n,) what a reader must know of the correction; empty where there is nothing.
    """

    tmin_degc: NDArray[np.float64]
    tmax_degc: NDArray[np.float64]
    tmin_correction_degc: NDArray[np.float64]
    tmax_correction_degc: NDArray[np.float64]
    note: NDArray[np.object_]


def lapse_rule(climate: ClimateTable) -> LapseRateRule:
    """Return the rule for fitting rates, as the season states it."""
    return replace(
        STANDARD_LAPSE_RULE,
        window_km=climate.lapse_window_km,
        default_tmin_degc_per_km=climate.tmin_degc_per_km,
        default_tmax_degc_per_km=climate.tmax_degc_per_km,
    )


def downscale(
    rasters: Mapping[str, RasterLayer],
    zones: gpd.GeoDataFrame,
    means: Mapping[str, NDArray[np.float64]],
    elevation_m: NDArray[np.float64],
    rule: LapseRateRule,
) -> Downscaled:
    """Return monthly temperatures at the elevation of each zone.

    Parameters
    ----------
    rasters
        ``tmin``, ``tmax`` and ``climate_elevation``.
    zones
        Polygons or points in a projected system.
    means
        Per band the mean over each zone, (n,); with ``climate_elevation_m``.
    elevation_m
        The zones' own elevation, (n,); a zone without one keeps the temperatures of its cells [m].
    rule
        Window, thresholds and default rates.
    """
    tmin, tmax = (np.stack([means[band] for band in rasters[name].bands]) for name in ("tmin", "tmax"))
    centres = zones.geometry.centroid
    cells = _cells_around(rasters, zones, rule.window_km)
    rates = fit_lapse_rates(centres.x.to_numpy(), centres.y.to_numpy(), cells, rule)
    moved = correct_to_elevation(tmin, tmax, elevation_m, means[f"{CELL_HEIGHT}_m"], rates, rule)
    return Downscaled(
        moved.tmin_degc,
        moved.tmax_degc,
        np.where(moved.is_corrected, moved.tmin_correction_degc.mean(axis=0), np.nan),
        np.where(moved.is_corrected, moved.tmax_correction_degc.mean(axis=0), np.nan),
        _notes(moved, rule),
    )


def _cells_around(
    rasters: Mapping[str, RasterLayer], zones: gpd.GeoDataFrame, window_km: float
) -> ClimateCells:
    """Return the cells of the tmin grid around the zones, placed in the zones' system."""
    lead = rasters["tmin"]
    rows, columns = _window(lead, zones, window_km)
    easting = lead.transform.c + (columns + 0.5) * lead.transform.a
    northing = lead.transform.f + (rows + 0.5) * lead.transform.e
    east, north = transformer_between(lead.crs, zones.crs).transform(easting, northing)
    heights, tmin, tmax = (
        values_at_cells_of(lead, rows, columns, rasters[name]) for name in (CELL_HEIGHT, "tmin", "tmax")
    )
    return ClimateCells(np.asarray(east), np.asarray(north), heights[0], tmin, tmax)


def _window(
    lead: RasterLayer, zones: gpd.GeoDataFrame, window_km: float
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return rows and columns of the cells within the window of the zones' bounds."""
    around = zones.geometry.envelope.buffer(window_km * 1000.0, quad_segs=4)
    west, south, east, north = gpd.GeoSeries(around, crs=zones.crs).to_crs(lead.crs).total_bounds
    first_column = max(int(np.floor((west - lead.transform.c) / lead.transform.a)), 0)
    last_column = min(int(np.ceil((east - lead.transform.c) / lead.transform.a)), lead.width)
    first_row = max(int(np.floor((north - lead.transform.f) / lead.transform.e)), 0)
    last_row = min(int(np.ceil((south - lead.transform.f) / lead.transform.e)), lead.height)
    count = max(last_column - first_column, 0) * max(last_row - first_row, 0)
    step = max(int(np.ceil(np.sqrt(count / _MOST_CELLS))), 1)
    row, column = np.meshgrid(
        np.arange(first_row, last_row, step), np.arange(first_column, last_column, step), indexing="ij"
    )
    return row.ravel(), column.ravel()


def _notes(moved: ElevationCorrection, rule: LapseRateRule) -> NDArray[np.object_]:
    rates = f"{rule.default_tmin_degc_per_km:g} and {rule.default_tmax_degc_per_km:g} degC/km"
    default = f"default lapse rates ({rates})"
    why = {
        RateSource.TOO_FEW_CELLS: f"{default}: fewer than {rule.least_cells} climate cells near",
        RateSource.TOO_LITTLE_RELIEF: f"{default}: the climate cells near differ by less than "
        f"{rule.least_relief_m:g} m in height",
        RateSource.IMPLAUSIBLE: f"{default}: the fitted rate is not plausible",
    }
    notes = np.full(len(moved.is_corrected), "", dtype=object)
    for source, said in why.items():
        notes[(moved.rates.source == source) & moved.is_corrected] = said
    for mask, said in (
        (moved.is_large, f"corrected by more than {rule.large_degc:g} degC in some month"),
        (moved.is_valley_floor, "a valley floor, where cold air gathers: minima may be lower than given"),
        (moved.is_beyond_cells, "lower or higher than every climate cell near"),
        (moved.is_crossed, "minimum and maximum crossed in some month and were set equal"),
        (~moved.is_corrected, "not brought to the site's elevation: an elevation is missing"),
    ):
        notes[mask] = [f"{old}; {said}" if old else said for old in notes[mask]]
    return notes
