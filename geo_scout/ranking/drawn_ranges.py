"""Between which ends the measures of each site are drawn."""

from collections.abc import Mapping
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import SiteDoubts

FloatArray = NDArray[np.float64]
Ends: TypeAlias = tuple[FloatArray, FloatArray]
INFESTED_AREA = "host_area"


def drawn_ranges(
    doubts: SiteDoubts, criteria: Mapping[str, Criterion], measures: Mapping[str, CriterionValue]
) -> dict[str, Ends]:
    """Return the lowest and highest measure that a draw can give each site.

    Parameters
    ----------
    doubts
        What a draw may change.
    criteria, measures
        How the sites are scored as the data stand.

    Returns
    -------
    dict of tuple
        By criterion: lowest and highest, (n,) each, equal where nothing is drawn and nan where nobody knows
        [unit of the measure]. The infested area is always there, since limits rest on it [ha].
    """
    area_ha = _areas(doubts)
    return {
        name: area_ha if name == INFESTED_AREA else _ends(name, doubts, measures[name], area_ha)
        for name in dict.fromkeys([INFESTED_AREA, *criteria])
    }


def _areas(doubts: SiteDoubts) -> Ends:
    area = doubts.area
    most = np.where(area.best_ha > area.gross_ha, area.best_ha, area.gross_ha)
    low_ha, high_ha = area.low_ha * np.exp(-area.change_log), area.high_ha * np.exp(area.change_log)
    return np.minimum(low_ha, most), np.minimum(high_ha, most)


def _ends(name: str, doubts: SiteDoubts, measure: CriterionValue, area_ha: Ends) -> Ends:
    if name == "host_cover":
        low, high = (100 * end / doubts.area.gross_ha for end in area_ha)
        return low, high
    if name == "population_distance" and doubts.population_m is not None:
        unsure_km = doubts.population_m / 1000
        return np.maximum(measure.value - unsure_km, 0.0), measure.value + unsure_km
    if name == "climate_gap" and doubts.climate.gap.shape[1]:
        return doubts.climate.gap.min(axis=1), doubts.climate.gap.max(axis=1)
    return measure.low, measure.high
