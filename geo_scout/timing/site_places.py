"""What is known of the temperatures at a season's patches."""

import numpy as np

from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.layers import LayerSet
from geo_scout.model.site_windows import FloatArray, Temperatures
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.timing.places import spread_of

PATCH = "patch"


def at_patches(sites: Sites, zones: ZoneTable, layers: LayerSet, climate: ClimateTable) -> Temperatures:
    """Return the temperatures at the patches of one host.

    Parameters
    ----------
    sites
        The patches.
    zones
        Elevation and monthly temperatures at the patches' own elevation, of rasters or of stations.
    layers
        Daily weather of stations.
    climate
        Period and spread as the season states them, and default lapse rates.
    """
    rows = zones.rows_of(PATCH, sites.host, sites.site_ids)
    elevation = zones.mean.reindex(columns=["elevation_m"]).to_numpy(dtype=np.float64)[rows, 0]
    longitude = sites.patches["longitude_deg"].to_numpy(dtype=np.float64)
    latitude = sites.patches["latitude_deg"].to_numpy(dtype=np.float64)
    tmin, tmax = _months(zones, "tmin", rows), _months(zones, "tmax", rows)
    basis = ""
    if np.isfinite(tmin).any():
        period = climate.normals_period or "period not stated"
        basis = zones.stations_basis or f"normals of the climate rasters ({period})"
    spread, spread_basis = _spread(layers, climate)
    return Temperatures(
        longitude,
        latitude,
        elevation,
        tmin,
        tmax,
        basis,
        spread,
        spread_basis,
        layers.weather,
        climate.tmin_degc_per_km,
        climate.tmax_degc_per_km,
    )


def _months(zones: ZoneTable, name: str, rows: "np.ndarray[tuple[int], np.dtype[np.intp]]") -> FloatArray:
    bands = [f"{name}_{month:02d}_degc" for month in range(1, 13)]
    if zones.monthly.empty:
        return np.full((12, len(rows)), np.nan)
    return zones.monthly.reindex(columns=bands).to_numpy(dtype=np.float64)[rows].T


def _spread(layers: LayerSet, climate: ClimateTable) -> tuple[FloatArray | None, str]:
    if climate.daily_spread_degc:
        return np.broadcast_to(np.array(climate.daily_spread_degc), (12,)), "as the season states it"
    return (None, "") if layers.weather is None else spread_of(layers.weather)
