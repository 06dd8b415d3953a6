"""The climate of single years at each population, in the variables of the climate gap."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.bioclim import bioclim
from geo_scout.formulas.climate_distance import with_log_precipitation
from geo_scout.model.bioclim_convention import BioclimConvention
from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.model.season import ClimateTable
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
        Months of single years; None where the season has no such table.
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
    convention = BioclimConvention(climate.divisor, climate.precipitation_plus_one, climate.quarters)
    is_rain = [CLIMATE_VARIABLES[name][0] == "mm" for name in variables]
    by_place = {_plain(str(place)): months for place, months in yearly.months.groupby("place", sort=False)}
    for row, (name, site_id) in enumerate(zip(populations["name"], populations["site_id"], strict=True)):
        months = by_place.get(_plain(str(site_id)) if site_id else "", by_place.get(_plain(str(name))))
        if months is None:
            continue
        years = np.asarray(months["year"].unique())
        stacks = [months[column].to_numpy(dtype=np.float64).reshape(len(years), 12).T for column in _MONTHLY]
        values = bioclim(*stacks, convention=convention)
        rows = np.column_stack([values[variable] for variable in variables])
        found[row] = (years, with_log_precipitation(rows, is_rain))
    return found


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()
