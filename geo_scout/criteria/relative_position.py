"""Whether the patch lies above or below the ground around it: ridge, slope or valley floor."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("relative_position_m", "surroundings_m")
UNIT = "m"


def measure(columns: Columns) -> CriterionValue:
    """Return the mean height of every patch above the ground around each of its cells [m]."""
    value = np.asarray(columns["relative_position_m"], dtype=np.float64)
    reach_m = np.asarray(columns["surroundings_m"], dtype=np.float64)
    known = ~np.isnan(value)
    note = [
        f"against the ground up to {far:g} m around"
        if is_known
        else f"no elevations as far as {far:g} m around"
        for is_known, far in zip(known, reach_m, strict=True)
    ]
    return CriterionValue(UNIT, value, value, value, known, tuple(note))


def describe(value: CriterionValue, index: int) -> str:
    """Say the position of one patch."""
    if not value.known[index]:
        return f"relative position unknown: {value.note[index]}"
    height_m = float(value.value[index])
    side = "higher" if height_m >= 0 else "lower"
    return f"{abs(height_m):.1f} m {side}, {value.note[index]}"
