"""Host in other patches that the agent can reach from here by itself."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("host_around_ha",)
UNIT = "ha"


def measure(columns: Columns) -> CriterionValue:
    """Return the infested area of other patches times the agent's reach [ha]; missing without a spread."""
    value = np.asarray(columns["host_around_ha"], dtype=np.float64)
    return CriterionValue.exact(UNIT, value, "the agent's profile states no spread")


def describe(value: CriterionValue, index: int) -> str:
    """Say the host around one patch."""
    if not value.known[index]:
        return f"host around unknown: {value.note[index]}"
    return f"{value.value[index]:.2f} ha of host around, weighted by the agent's reach"
