"""How far the climate of each place was brought up or down: what an error of the lapse rates acts on."""

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.agent import AgentProfile
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.evidence import Evidence
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.downscale import CELL_HEIGHT
from geo_scout.zones.zone_list import KNOWN, PATCH, POPULATION

FloatArray = NDArray[np.float64]
_TMIN, _TMAX = "climate_tmin_correction_degc", "climate_tmax_correction_degc"


def site_rises_km(zones: ZoneTable, sites: Sites, climate: ClimateTable) -> FloatArray:
    """Return how much higher each patch lies than where its climate was measured.

    Parameters
    ----------
    zones
        What the rasters, or the stations, say.
    sites
        The patches of one host.
    climate
        The lapse rates of the season, by which stations' temperatures were brought.

    Returns
    -------
    numpy.ndarray
        (n,) 0 where no temperature was corrected [km].
    """
    return _rises_km(zones, climate).iloc[zones.rows_of(PATCH, sites.host, sites.site_ids)].to_numpy()


def population_rises_km(
    agent: AgentProfile, evidence: Evidence, zones: ZoneTable, climate: ClimateTable
) -> FloatArray:
    """Return the same of each population, confirmed ones first, then those of the profile.

    A population whose climate the profile states was not brought anywhere.
    """
    confirmed = evidence.populations
    in_patch = confirmed["site_id"] != ""
    keys = [
        (PATCH, agent.host, site_id) if inside else (POPULATION, agent.name, name)
        for inside, site_id, name in zip(
            in_patch, confirmed["site_id"], confirmed["population_id"], strict=True
        )
    ]
    keys += [(KNOWN, agent.name, known.name) for known in agent.known_populations]
    if not keys:
        return np.zeros(0)
    found = _rises_km(zones, climate).reindex(pd.MultiIndex.from_tuples(keys)).fillna(0.0)
    is_stated = [False] * len(confirmed) + [bool(known.climate) for known in agent.known_populations]
    return np.where(is_stated, 0.0, found.to_numpy())


def _rises_km(zones: ZoneTable, climate: ClimateTable) -> pd.Series:
    """Return the rise of every zone [km]; 0 where nothing was corrected."""
    index, correction = zones.mean.index, zones.correction
    if _TMAX not in correction:
        return pd.Series(0.0, index=index)
    if CELL_HEIGHT + "_m" in zones.mean and "elevation_m" in zones.mean:
        rise = (zones.mean["elevation_m"] - zones.mean[f"{CELL_HEIGHT}_m"]) / 1000.0
    else:
        name, rate = (_TMAX, climate.tmax_degc_per_km) if climate.tmax_degc_per_km else (_TMIN, 0.0)
        rate = rate or climate.tmin_degc_per_km
        rise = -correction[name] / rate if rate else correction[name] * 0.0
    return rise.where(correction[_TMAX].notna(), 0.0).fillna(0.0)
