"""The climate of single years at each population, in the variables of the climate gap."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.bioclim import bioclim
from geo_scout.formulas.log_precipitation import with_log_precipitation
from geo_scout.model.bioclim_convention import BioclimConvention
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.folded import folded
from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.model.weather import YearlyClimate

_MONTHLY = ("tmin_degc", "tmax_degc", "precipitation_mm")


def years_of_populations(
    populations: pd.DataFrame, variables: Sequence[str], yearly: YearlyClimate | None, climate: ClimateTable
) -> NDArray[np.object_]:
    """Return per population its years and their climate, None where the table has no such place.

    Parameters
    ----------
    populations
        ``name`` and ``site_id``; either may be the place in the table.
    variables
        Names, (K,).
    yearly
        Months or ready variables of single years; None where the season has no such table.
    climate
        For the convention of the variables.

    Returns
    -------
    numpy.ndarray
        (m,) of (years (y,), values (y, K) with precipitation as ln(P + 1)), or None.
    """
    found = np.full(len(populations), None, dtype=object)
    if yearly is None:
        return found
    is_rain = [CLIMATE_VARIABLES[name][0] == "mm" for name in variables]
    by_place = _by_place(yearly, variables, climate)
    for row, (name, site_id) in enumerate(zip(populations["name"], populations["site_id"], strict=True)):
        there = by_place.get(folded(str(site_id)) if site_id else "", by_place.get(folded(str(name))))
        if there is not None:
            years, values = there
            found[row] = (years, with_log_precipitation(values, is_rain))
    return found


def _by_place(
    yearly: YearlyClimate, variables: Sequence[str], climate: ClimateTable
) -> dict[str, tuple[NDArray[np.int64], NDArray[np.float64]]]:
    """Return the years of each place and their variables, (y, K); a variable no column holds is nan."""
    found = {}
    if not yearly.variables.empty:
        for place, rows in yearly.variables.groupby("place", sort=False):
            values = rows.reindex(columns=list(variables)).to_numpy(dtype=np.float64)
            found[folded(str(place))] = (rows["year"].to_numpy(dtype=np.int64), values)
        return found
    convention = BioclimConvention(climate.divisor, climate.precipitation_plus_one, climate.quarters)
    for place, months in yearly.months.groupby("place", sort=False):
        years = months["year"].unique().astype(np.int64)
        stacks = [months[column].to_numpy(dtype=np.float64).reshape(len(years), 12).T for column in _MONTHLY]
        of_year = bioclim(*stacks, convention=convention)
        found[folded(str(place))] = (years, np.column_stack([of_year[name] for name in variables]))
    return found
