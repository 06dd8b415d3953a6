"""What is known of the temperatures at a season's patches: rasters first, stations where there are none."""

import numpy as np

from geo_scout.formulas.geodesy import geodesic_km
from geo_scout.model.layers import LayerSet
from geo_scout.model.season import ClimateTable
from geo_scout.model.site_windows import FloatArray, Temperatures
from geo_scout.model.sites import Sites
from geo_scout.model.weather import StationNormals
from geo_scout.model.zones import ZoneTable
from geo_scout.timing.places import normals_at, spread_of

PATCH = "patch"


def at_patches(sites: Sites, zones: ZoneTable, layers: LayerSet, climate: ClimateTable) -> Temperatures:
    """Return the temperatures at the patches of one host.

    Parameters
    ----------
    sites
        The patches.
    zones
        Elevation and monthly temperatures at the patches' own elevation.
    layers
        Weather and normals of stations.
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
        basis = f"normals of the climate rasters ({period})"
    elif layers.station_normals is not None:
        tmin, tmax, basis = _from_stations(layers.station_normals, longitude, latitude, elevation, climate)
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


def _from_stations(
    normals: StationNormals,
    longitude_deg: FloatArray,
    latitude_deg: FloatArray,
    elevation_m: FloatArray,
    climate: ClimateTable,
) -> tuple[FloatArray, FloatArray, str]:
    """Return the normals of the nearest station, brought to each place's elevation where both are known."""
    places = normals.stations[["longitude_deg", "latitude_deg"]].to_numpy(dtype=np.float64)
    far = geodesic_km(longitude_deg[None, :], latitude_deg[None, :], places[:, :1], places[:, 1:2])
    nearest = np.where(np.isnan(far), np.inf, far).argmin(axis=0)
    tmin, tmax = normals_at(normals, nearest, elevation_m, climate.tmin_degc_per_km, climate.tmax_degc_per_km)
    return tmin, tmax, f"normals of the nearest station ({normals.period or 'period not stated'})"


def _spread(layers: LayerSet, climate: ClimateTable) -> tuple[FloatArray | None, str]:
    if climate.daily_spread_degc:
        return np.broadcast_to(np.array(climate.daily_spread_degc), (12,)), "as the season states it"
    return (None, "") if layers.weather is None else spread_of(layers.weather)
