"""Everything the criteria of one agent may need, gathered in one mapping."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.log_precipitation import with_log_precipitation
from geo_scout.model.agent import AgentProfile, KnownPopulation
from geo_scout.model.evidence import Evidence
from geo_scout.model.quantities import CLIMATE_VARIABLES, TERRAIN_QUANTITIES, Columns
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.model.weather import YearlyClimate
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.yearly import years_of_populations
from geo_scout.zones.zone_list import KNOWN, PATCH, POPULATION, REFERENCE

FROM_PATCHES = (
    "infested_ha",
    "infested_low_ha",
    "infested_high_ha",
    "cover_pct",
    "cover_low_pct",
    "cover_high_pct",
    "crew_distance_km",
    "preferred_land_pct",
)
FROM_EVIDENCE = (
    "host_around_ha",
    "host_around_low_ha",
    "host_around_high_ha",
    "population_distance_km",
    "presence_share",
    "presence_low_share",
    "presence_high_share",
)
FROM_RASTERS = ("elevation_m", *(name for name in TERRAIN_QUANTITIES if not name.endswith("_valid_share")))
_CLIMATE_DECIMALS = 10
VALID_SHARES = {"slope_valid_share": "slope", "heat_load_valid_share": "heat_load"}


def collect_quantities(
    agent: AgentProfile,
    season: Season,
    sites: Sites,
    evidence: Evidence,
    zones: ZoneTable,
    yearly: YearlyClimate | None = None,
) -> Columns:
    """Return every quantity of ``model.quantities.QUANTITIES`` for one agent.

    Parameters
    ----------
    agent
        The agent's profile.
    season
        For the climate variables where the profile names none.
    sites
        Patches of its host.
    evidence
        Its records.
    zones
        What the rasters say.
    yearly
        Climate of single years where populations are.
    """
    variables = climate_variables(agent, season)
    is_rain = [CLIMATE_VARIABLES[name][0] == "mm" for name in variables]
    patch_rows = zones.rows_of(PATCH, sites.host, sites.site_ids)
    populations = _populations(agent, evidence, zones, variables)
    columns: dict[str, NDArray[np.generic]] = {
        name: sites.patches[name].to_numpy(dtype=np.float64) for name in FROM_PATCHES
    }
    columns |= {name: evidence.sites[name].to_numpy(dtype=np.float64) for name in FROM_EVIDENCE}
    columns["is_supplement"] = (evidence.sites["purpose"] == "supplement").to_numpy(dtype=np.bool_)
    there = zones.mean.iloc[patch_rows]
    columns |= dict(zip(FROM_RASTERS, _values(there, FROM_RASTERS).T, strict=True))
    columns |= dict(zip(VALID_SHARES, _valid_shares(zones, patch_rows).T, strict=True))
    columns |= {name: np.full(len(patch_rows), one) for name, one in _terrain_settings(agent, season).items()}
    columns["population_elevation_m"] = populations["elevation_m"].to_numpy(dtype=np.float64)
    columns["population_names"] = populations["name"].to_numpy(dtype=object)
    columns["site_climate"] = with_log_precipitation(_settled(there, variables), is_rain)
    columns["population_climate"] = with_log_precipitation(_settled(populations, variables), is_rain)
    cells = zones.cells_touched(_reference_rows(zones, patch_rows))
    columns["climate_cells"] = with_log_precipitation(_values(cells, variables), is_rain)
    columns["climate_variables"] = np.array(variables, dtype=object)
    columns["population_site_ids"] = populations["site_id"].to_numpy(dtype=object)
    columns["population_years"] = years_of_populations(
        populations, variables, yearly, season.settings.climate
    )
    columns["climate_gap_kind"] = np.array([season.settings.climate.kind], dtype=object)
    return columns


def climate_variables(agent: AgentProfile, season: Season) -> list[str]:
    """Return the climate variables of one agent: its profile's, or the season's."""
    return list(agent.climate.variables or season.settings.climate.variables)


def _reference_rows(zones: ZoneTable, patch_rows: NDArray[np.intp]) -> NDArray[np.intp]:
    reference = np.flatnonzero(zones.mean.index.get_level_values(0) == REFERENCE)
    return reference if len(reference) else patch_rows


def _valid_shares(zones: ZoneTable, patch_rows: NDArray[np.intp]) -> NDArray[np.float64]:
    return _values(zones.valid_share.iloc[patch_rows], list(VALID_SHARES.values()))


def _terrain_settings(agent: AgentProfile, season: Season) -> dict[str, float]:
    """Return what profile and season state of the ground, the same for every site."""
    preferred, ground = agent.terrain.preferred_aspect_deg, season.settings.terrain
    return {
        "preferred_aspect_deg": np.nan if preferred is None else float(preferred.value),
        "heat_load_equation": float(ground.heat_load_equation),
        "surroundings_m": ground.surroundings_m,
    }


def _values(frame: pd.DataFrame, names: Sequence[str]) -> NDArray[np.float64]:
    return frame.reindex(columns=list(names)).to_numpy(dtype=np.float64)


def _settled(frame: pd.DataFrame, variables: Sequence[str]) -> NDArray[np.float64]:
    """Return climate without the last bits, so that two places in one climate cell have the same climate.

    Those bits come from the weights of the cells, and so from the reference system of the layers.
    """
    return np.round(_values(frame, variables), _CLIMATE_DECIMALS)


def _populations(
    agent: AgentProfile, evidence: Evidence, zones: ZoneTable, variables: list[str]
) -> pd.DataFrame:
    """Return name, elevation and climate of confirmed and known populations, confirmed first."""
    confirmed = evidence.populations
    in_patch = confirmed["site_id"] != ""
    keys = pd.MultiIndex.from_arrays(
        [
            in_patch.map({True: PATCH, False: POPULATION}),
            in_patch.map({True: agent.host, False: agent.name}),
            confirmed["site_id"].where(in_patch, confirmed["population_id"]),
        ]
    )
    table = zones.mean.reindex(columns=["elevation_m", *variables])
    measured = table.reindex(keys).reset_index(drop=True)
    measured.insert(0, "name", confirmed["name"].to_numpy())
    measured.insert(1, "site_id", confirmed["site_id"].to_numpy())
    stated = [_known(known, agent.name, table, variables) for known in agent.known_populations]
    return pd.concat([measured, pd.DataFrame(stated, columns=measured.columns)]) if stated else measured


def _known(
    known: KnownPopulation, agent: str, table: pd.DataFrame, variables: list[str]
) -> dict[str, object]:
    """Return a population of the profile: stated values first, then what the rasters say there."""
    there = table.reindex(pd.MultiIndex.from_tuples([(KNOWN, agent, known.name)])).iloc[0]
    values = {name: known.climate.get(name, there[name]) for name in variables}
    elevation = there["elevation_m"] if known.elevation_m is None else known.elevation_m
    return {"name": known.name, "site_id": "", "elevation_m": elevation, **values}
