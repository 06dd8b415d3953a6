"""Mean slope of the patch: what a crew on foot climbs."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("slope_deg", "slope_valid_share", "steep_share")
UNIT = "deg"

_WHOLE_SHARE = 0.995


def measure(columns: Columns) -> CriterionValue:
    """Return the area-weighted mean slope of every patch [deg]; missing where no cell has one."""
    value = np.asarray(columns["slope_deg"], dtype=np.float64)
    share = np.asarray(columns["slope_valid_share"], dtype=np.float64)
    steep = np.asarray(columns["steep_share"], dtype=np.float64)
    known = ~np.isnan(value)
    note = [
        ""
        if is_known and part >= _WHOLE_SHARE
        else f"on the {part:.0%} of the patch that has a slope"
        if is_known
        else "no slope in the elevation layer here"
        for is_known, part in zip(known, share, strict=True)
    ]
    details = {"steep_share": steep} if not np.isnan(steep).all() else {}
    return CriterionValue(UNIT, value, value, value, known, tuple(note), details)


def describe(value: CriterionValue, index: int) -> str:
    """Say the slope of one patch."""
    if not value.known[index]:
        return f"slope unknown: {value.note[index]}"
    steep = value.details.get("steep_share")
    part = "" if steep is None else f", {float(steep[index]):.0%} of it steeper than max_slope_deg"
    note = f" {value.note[index]}" if value.note[index] else ""
    return f"{value.value[index]:.1f} deg mean slope{part}{note}"
