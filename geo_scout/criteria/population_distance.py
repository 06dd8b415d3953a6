"""Distance, edge to edge, to the nearest confirmed population of the agent."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("population_distance_km",)
UNIT = "km"


def measure(columns: Columns) -> CriterionValue:
    """Return the distance to the nearest confirmed population [km]; missing where none is confirmed."""
    value = np.asarray(columns["population_distance_km"], dtype=np.float64)
    return CriterionValue.exact(UNIT, value, "no population is confirmed in the season's records")


def describe(value: CriterionValue, index: int) -> str:
    """Say the distance of one patch."""
    if not value.known[index]:
        return f"distance to a population unknown: {value.note[index]}"
    return f"{value.value[index]:.1f} km from the nearest confirmed population"
