"""Share of the patch on land the season prefers."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("preferred_land_pct",)
UNIT = "pct"


def measure(columns: Columns) -> CriterionValue:
    """Return the share of every patch on preferred land [pct]."""
    value = np.asarray(columns["preferred_land_pct"], dtype=np.float64)
    return CriterionValue.exact(UNIT, value)


def describe(value: CriterionValue, index: int) -> str:
    """Say the share of one patch."""
    return f"{value.value[index]:.0f} % on land the season prefers"
