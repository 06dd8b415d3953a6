"""The climate of every zone from monthly normals of stations, where no raster gives one."""

from dataclasses import dataclass, replace

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pyproj import CRS
from scipy.sparse import csr_array

from geo_scout.formulas.bioclim import bioclim
from geo_scout.formulas.elevation_correction import at_elevation
from geo_scout.formulas.nearest_station import nearest_station
from geo_scout.model.bioclim_convention import BioclimConvention
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.lapse_rates import STANDARD_LAPSE_RULE
from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.model.weather import MONTHS, StationNormals
from geo_scout.model.zones import ZoneTable

_BANDS = {
    name: [f"{name}_{month:02d}_{unit}" for month in MONTHS]
    for name, unit in (("tmin", "degc"), ("tmax", "degc"), ("precipitation", "mm"))
}


@dataclass(frozen=True)
class _Nearest:
    """The station of every zone: its row, its distance [km], and how much higher the zone lies [m]."""

    row: NDArray[np.intp]
    far_km: NDArray[np.float64]
    higher_m: NDArray[np.float64]


def with_station_climate(
    table: ZoneTable, zones: gpd.GeoDataFrame, normals: StationNormals | None, climate: ClimateTable
) -> ZoneTable:
    """Return the table with the months, and the climate, of the station nearest to each zone.

    Parameters
    ----------
    table
        What the rasters say of the zones.
    zones
        The zones, in the same order; a column ``stated_elevation_m`` overrules their elevation.
    normals
        Stations; None leaves the table as it is.
    climate
        Lapse rates and the convention of the variables.

    Notes
    -----
    Monthly rasters go before stations, and so does a bioclim raster for the climate variables. Temperatures
    are brought to the zone's elevation with the season's rates where both elevations are known;
    precipitation stays the station's. The reference that a regional distance is measured against are the
    stations themselves: those that are nearest to the zones asked about.
    """
    if normals is None or not len(zones) or _BANDS["tmin"][0] in table.monthly:
        return table
    nearest = _nearest(table, zones, normals)
    months = {name: _of_stations(normals, name) for name in _BANDS}
    raw = {name: values[:, nearest.row] for name, values in months.items()}
    tmin, tmax = at_elevation(
        raw["tmin"], raw["tmax"], nearest.higher_m, climate.tmin_degc_per_km, climate.tmax_degc_per_km
    )
    at_zone = {"tmin": tmin, "tmax": tmax, "precipitation": raw["precipitation"]}
    period = normals.period or "period not stated"
    known = replace(
        table,
        monthly=_by_band(at_zone, zones.index),
        cell_monthly=_by_band({name: raw[name] for name in ("tmin", "tmax")}, zones.index),
        stations_basis=f"normals of the nearest station ({period}{_brought(nearest, climate)})",
    )
    if table.mean.columns.isin(list(CLIMATE_VARIABLES)).any():
        return known
    convention = BioclimConvention(climate.divisor, climate.precipitation_plus_one, climate.quarters)
    variables = bioclim(tmin, tmax, raw["precipitation"], convention=convention)
    of_stations = bioclim(*months.values(), convention=convention)
    shape = (len(zones), len(normals.stations))
    touches = csr_array((np.ones(len(zones)), (np.arange(len(zones)), nearest.row)), shape=shape)
    return replace(
        known,
        mean=table.mean.assign(**variables),
        climate_cells=pd.DataFrame(of_stations),
        touches=touches,
        correction=_correction(nearest, normals, climate, zones.index),
    )


def _nearest(table: ZoneTable, zones: gpd.GeoDataFrame, normals: StationNormals) -> _Nearest:
    centres = zones.geometry.centroid.to_crs(CRS.from_epsg(4326))
    places = normals.stations.astype(np.float64)
    row, far_km = nearest_station(
        centres.x.to_numpy(), centres.y.to_numpy(), places["longitude_deg"], places["latitude_deg"]
    )
    height = table.mean.reindex(columns=["elevation_m"]).to_numpy(dtype=np.float64)[:, 0]
    if "stated_elevation_m" in zones:
        stated = zones["stated_elevation_m"].to_numpy(dtype=np.float64)
        height = np.where(np.isnan(stated), height, stated)
    return _Nearest(row, far_km, height - places["elevation_m"].to_numpy()[row])


def _of_stations(normals: StationNormals, name: str) -> NDArray[np.float64]:
    tables = {"tmin": normals.tmin_degc, "tmax": normals.tmax_degc, "precipitation": normals.precipitation_mm}
    return np.asarray(tables[name].to_numpy(dtype=np.float64).T)


def _by_band(months: dict[str, NDArray[np.float64]], index: pd.Index) -> pd.DataFrame:
    columns = {
        band: row for name, rows in months.items() for band, row in zip(_BANDS[name], rows, strict=True)
    }
    return pd.DataFrame(columns, index=index)


def _brought(nearest: _Nearest, climate: ClimateTable) -> str:
    """Say with which rates temperatures are brought to the zones; empty where none are."""
    if not np.nan_to_num(nearest.higher_m).any():
        return ""
    return f", tmin {climate.tmin_degc_per_km:g} and tmax {climate.tmax_degc_per_km:g} degC colder per km up"


def _correction(
    nearest: _Nearest, normals: StationNormals, climate: ClimateTable, index: pd.Index
) -> pd.DataFrame:
    change = {
        f"climate_{name}_correction_degc": 0.0 - rate * nearest.higher_m / 1000.0
        for name, rate in (("tmin", climate.tmin_degc_per_km), ("tmax", climate.tmax_degc_per_km))
    }
    largest = np.max(np.abs(list(change.values())), axis=0)
    names = normals.stations.index.astype(str).to_numpy()[nearest.row]
    notes = [
        _note(*of_zone) for of_zone in zip(names, nearest.far_km, nearest.higher_m, largest, strict=True)
    ]
    return pd.DataFrame(change | {"climate_note": np.array(notes, dtype=object)}, index=index)


def _note(name: str, far_km: float, higher_m: float, largest_degc: float) -> str:
    far = "" if np.isnan(far_km) else f", {far_km:.0f} km away"
    said = f"normals of the station {name}{far}"
    if np.isnan(higher_m):
        return f"{said}; not brought to the site's elevation: an elevation is missing"
    if largest_degc > STANDARD_LAPSE_RULE.large_degc:
        return f"{said}; corrected by more than {STANDARD_LAPSE_RULE.large_degc:g} degC"
    return said
