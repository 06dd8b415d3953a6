"""The populations that ranked sources offer, each with the spread a difference from it is measured by."""

from collections.abc import Collection

import numpy as np

from geo_scout.criteria.climate_gap.matching import spreads_of_populations
from geo_scout.formulas.climate_spread import regional_spread
from geo_scout.model.climate_spread import ClimateSpread
from geo_scout.model.quantities import Columns


def is_interannual(columns: Columns) -> bool:
    """Return whether gaps are sigmas of the years at each population, not distances of the region."""
    return "interannual" in columns["climate_gap_kind"]


def spreads_of_offered(columns: Columns, ranked_ids: Collection[str]) -> list[ClimateSpread | None]:
    """Return for each population its spread; None where no ranked source offers it or it cannot be compared.

    Parameters
    ----------
    columns
        The quantities the climate gap is measured from.
    ranked_ids
        ``site_id`` of every source that is ranked.
    """
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    variables = [str(name) for name in columns["climate_variables"]]
    is_ranked = np.array([one in ranked_ids for one in columns["population_site_ids"]], dtype=np.bool_)
    usable = np.asarray(is_ranked & ~np.isnan(population).any(axis=1))
    if not usable.any():
        return [None] * len(population)
    if is_interannual(columns):
        spreads = spreads_of_populations(columns, variables, usable)
        return [one if isinstance(one, ClimateSpread) else None for one in spreads]
    spread = regional_spread(columns["climate_cells"], variables)
    return [spread if one and isinstance(spread, ClimateSpread) else None for one in usable]
