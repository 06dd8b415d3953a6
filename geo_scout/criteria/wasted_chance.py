"""Chance that agents released in the patch are wasted, because others live there already."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.presence import percent_range
from geo_scout.model.quantities import Columns

NEEDS = ("presence_share", "presence_low_share", "presence_high_share", "is_supplement")
UNIT = "share"
SUPPLEMENT = "more agents are wanted where some live, so none are wasted"


def measure(columns: Columns) -> CriterionValue:
    """Return the chance that the agent lives in every patch already [share]; 0 where more are wanted."""
    wanted = np.asarray(columns["is_supplement"], dtype=np.bool_)
    value, low, high = (
        np.where(wanted, 0.0, np.asarray(columns[name], dtype=np.float64)) for name in NEEDS[:3]
    )
    known = ~np.isnan(value)
    note = tuple(
        SUPPLEMENT if more else "" if is_known else "the records say nothing of this patch"
        for more, is_known in zip(wanted, known, strict=True)
    )
    return CriterionValue(UNIT, value, low, high, known, note)


def describe(value: CriterionValue, index: int) -> str:
    """Say the chance of one patch."""
    if not value.known[index]:
        return f"chance that the agents are wasted unknown: {value.note[index]}"
    chance = percent_range(value.low[index], value.value[index], value.high[index])
    return f"{chance} chance that the agents are wasted" + (
        f": {value.note[index]}" if value.note[index] else ""
    )
