"""Infested area of the patch: gross area times canopy cover."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("infested_ha", "infested_low_ha", "infested_high_ha")
UNIT = "ha"


def measure(columns: Columns) -> CriterionValue:
    """Return the infested area of every patch [ha]; the range follows the cover classes.

    Where the cover of a part is unknown the measure is missing, and the range goes from the parts
    that are known to every unknown part wholly covered.
    """
    value = np.asarray(columns["infested_ha"], dtype=np.float64)
    known = ~np.isnan(value)
    return CriterionValue(
        unit=UNIT,
        value=value,
        low=np.asarray(columns["infested_low_ha"], dtype=np.float64),
        high=np.asarray(columns["infested_high_ha"], dtype=np.float64),
        known=known,
        note=tuple("" if is_known else "cover is unknown for part of the patch" for is_known in known),
    )


def describe(value: CriterionValue, index: int) -> str:
    """Say the infested area of one patch."""
    span = f"{value.low[index]:.2f} to {value.high[index]:.2f} ha"
    if not value.known[index]:
        return f"infested area unknown, {span}: {value.note[index]}"
    if value.low[index] == value.high[index]:
        return f"{value.value[index]:.2f} ha infested"
    return f"{value.value[index]:.2f} ha infested ({span} by the width of its cover classes)"
