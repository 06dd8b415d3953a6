"""The climate of one site as a chain a reader can redo: months of its cells, its height, its variables."""

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.zone_list import PATCH

_QUANTITIES = (("tmin", "degc", "degC"), ("tmax", "degc", "degC"), ("precipitation", "mm", "mm"))


def climate_lines(zones: ZoneTable, sites: Sites, index: int, variables: Sequence[str]) -> list[str]:
    """Return the chain from raster values to climate variables for one patch.

    Parameters
    ----------
    zones
        What the rasters say.
    sites
        The patches of one host.
    index
        Row of the patch.
    variables
        The climate variables of the agent.
    """
    row = int(zones.rows_of(PATCH, sites.host, [sites.site_ids[index]])[0])
    means = zones.mean.iloc[row]
    lines = [*_heights(means), *_months(zones, row), *_correction(zones, row)]
    named = [(name, means[name]) for name in variables if name in means and np.isfinite(means[name])]
    if named:
        lines.append("  variables: " + ", ".join(f"{name} {_said(name, value)}" for name, value in named))
    return ["Climate and height, area-weighted over the patch:", *lines] if lines else []


def _heights(means: "pd.Series[float]") -> Iterator[str]:
    own, cells = means.get("elevation_m", np.nan), means.get("climate_elevation_m", np.nan)
    if np.isfinite(own):
        of_cells = f"; its climate cells are taken to lie at {cells:.1f} m" if np.isfinite(cells) else ""
        yield f"  elevation {own:.1f} m{of_cells}"


def _months(zones: ZoneTable, row: int) -> Iterator[str]:
    for name, ending, unit in _QUANTITIES:
        bands = [f"{name}_{month:02d}_{ending}" for month in range(1, 13)]
        raw = zones.cell_monthly if bands[0] in zones.cell_monthly else zones.monthly
        if bands[0] not in raw:
            continue
        whose = "station" if zones.stations_basis else "cells"
        yield f"  {name} of the {whose}, January to December [{unit}]: {_numbers(raw[bands].iloc[row])}"
        if raw is zones.cell_monthly:
            yield from _lapse(name, zones, row, bands)
            yield f"  {name} at the site's elevation [{unit}]: {_numbers(zones.monthly[bands].iloc[row])}"


def _lapse(name: str, zones: ZoneTable, row: int, bands: list[str]) -> Iterator[str]:
    """Yield by how much it is colder for each km up, as what was taken off says."""
    means = zones.mean.iloc[row]
    higher_km = (means.get("elevation_m", np.nan) - means.get("climate_elevation_m", np.nan)) / 1000
    if np.isfinite(higher_km) and higher_km:
        colder = (zones.cell_monthly[bands].iloc[row] - zones.monthly[bands].iloc[row]) / higher_km
        yield f"  {name} colder for each km up [degC]: {_numbers(colder)}"


def _correction(zones: ZoneTable, row: int) -> Iterator[str]:
    if "climate_note" in zones.correction and zones.correction["climate_note"].iloc[row]:
        yield f"  note: {zones.correction['climate_note'].iloc[row]}"


def _numbers(values: "pd.Series[float]") -> str:
    return " ".join("-" if np.isnan(value) else f"{value:.2f}" for value in values)


def _said(name: str, value: float) -> str:
    unit = CLIMATE_VARIABLES[name][0].replace("degc", "degC").replace("pct", "%")
    return f"{value:.4f} {unit}"
