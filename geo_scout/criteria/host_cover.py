"""Canopy cover of the host in the patch."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("cover_pct", "cover_low_pct", "cover_high_pct")
UNIT = "pct"


def measure(columns: Columns) -> CriterionValue:
    """Return infested over gross area of every patch [pct]; the range follows the cover classes."""
    value = np.asarray(columns["cover_pct"], dtype=np.float64)
    known = ~np.isnan(value)
    return CriterionValue(
        unit=UNIT,
        value=value,
        low=np.asarray(columns["cover_low_pct"], dtype=np.float64),
        high=np.asarray(columns["cover_high_pct"], dtype=np.float64),
        known=known,
        note=tuple("" if is_known else "cover is unknown for part of the patch" for is_known in known),
    )


def describe(value: CriterionValue, index: int) -> str:
    """Say the cover of one patch."""
    span = f"{value.low[index]:.0f} to {value.high[index]:.0f} %"
    if not value.known[index]:
        return f"canopy cover unknown, {span}: {value.note[index]}"
    if value.low[index] == value.high[index]:
        return f"{value.value[index]:.0f} % canopy cover"
    return f"{value.value[index]:.0f} % canopy cover ({span} by the width of its cover classes)"
