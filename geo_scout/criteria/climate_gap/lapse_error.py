"""The gap measured again as if every lapse rate were off by the same amount."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.criteria.climate_gap.matching import (
    match_interannual,
    match_regional,
    spreads_of_populations,
)
from geo_scout.formulas.climate_spread import regional_spread
from geo_scout.model.climate_spread import ClimateSpread, SpreadRefusal
from geo_scout.model.quantities import LAPSED_VARIABLES, Columns

FloatArray = NDArray[np.float64]


def gaps_at_lapse_errors(
    columns: Columns, site_rise_km: ArrayLike, population_rise_km: ArrayLike, error_degc_per_km: ArrayLike
) -> FloatArray:
    """Return the climate gap of every site, were temperature to fall faster with height by each error.

    Parameters
    ----------
    columns
        The quantities that the criterion ``climate_gap`` needs.
    site_rise_km, population_rise_km
        (n,) and (m,) how much higher each lies than where its climate was measured [km].
    error_degc_per_km
        (e,) errors, the same for the minimum and the maximum, in every month and at every place: the error of
        a rate is one of the region's air [degC/km].

    Returns
    -------
    numpy.ndarray
        (n, e); nan where the gap is not scored.

    Notes
    -----
    Means of temperature move by less the error times the rise; their ranges, and precipitation, do not. The
    cells that give the covariance lie where they were measured and stay as they are.
    """
    site = np.asarray(columns["site_climate"], dtype=np.float64)
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    variables = [str(name) for name in columns["climate_variables"]]
    moves = np.array([float(name in LAPSED_VARIABLES) for name in variables])
    rises = (np.asarray(one, dtype=np.float64)[:, None] * moves for one in (site_rise_km, population_rise_km))
    site_move, population_move = rises
    spreads = _spreads(columns, variables, population)
    gaps = []
    for error in np.asarray(error_degc_per_km, dtype=np.float64).tolist():
        here, there = site - error * site_move, population - error * population_move
        if isinstance(spreads, ClimateSpread):
            gaps.append(match_regional(here, there, spreads).gap)
        else:
            gaps.append(match_interannual(here, there, spreads).gap)
    return np.column_stack(gaps)


def _spreads(
    columns: Columns, variables: Sequence[str], population: FloatArray
) -> ClimateSpread | Sequence[ClimateSpread | SpreadRefusal | None]:
    """Return what differences are measured against: of the region, or of each population's years."""
    if "interannual" in columns["climate_gap_kind"]:
        usable = np.asarray(~np.isnan(population).any(axis=1))
        return spreads_of_populations(columns, variables, usable)
    spread = regional_spread(columns["climate_cells"], variables)
    return spread if isinstance(spread, ClimateSpread) else [None] * len(population)
