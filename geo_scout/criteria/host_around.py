"""Host in other patches that the agent can reach from here by itself."""

from dataclasses import replace

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("host_around_ha", "host_around_low_ha", "host_around_high_ha")
UNIT = "ha"


def measure(columns: Columns) -> CriterionValue:
    """Return the infested area of other patches times the agent's reach [ha]; missing without a spread.

    The range is that of the cover classes of all other patches together.
    """
    value, low, high = (np.asarray(columns[name], dtype=np.float64) for name in NEEDS)
    plain = CriterionValue.exact(UNIT, value, "the agent's profile states no spread")
    return replace(plain, low=low, high=high)


def describe(value: CriterionValue, index: int) -> str:
    """Say the host around one patch."""
    if not value.known[index]:
        return f"host around unknown: {value.note[index]}"
    span = f"{value.low[index]:.2f} to {value.high[index]:.2f} ha"
    is_sure = value.low[index] == value.high[index]
    width = "" if is_sure else f" ({span} by the width of the cover classes around)"
    return f"{value.value[index]:.2f} ha of host around, weighted by the agent's reach{width}"
