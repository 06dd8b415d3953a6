"""Geodesic distance from the nearest crew base to the edge of the patch."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("crew_distance_km",)
UNIT = "km"


def measure(columns: Columns) -> CriterionValue:
    """Return the distance to the nearest crew base [km], as the crow flies."""
    value = np.asarray(columns["crew_distance_km"], dtype=np.float64)
    return CriterionValue.exact(UNIT, value, "no crew base")


def describe(value: CriterionValue, index: int) -> str:
    """Say the distance of one patch."""
    if not value.known[index]:
        return f"distance to a crew base unknown: {value.note[index]}"
    return f"{value.value[index]:.1f} km from the nearest crew base to its edge, as the crow flies"
