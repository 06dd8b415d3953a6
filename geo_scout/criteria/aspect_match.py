"""How far the patch faces the way the agent prefers."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("aspect_deg", "aspect_strength", "aspect_share", "preferred_aspect_deg")
UNIT = ""


def measure(columns: Columns) -> CriterionValue:
    """Return the mean cosine of the angle between each cell's aspect and the preferred one, -1 to 1.

    It follows from the mean direction, its strength and the share of ground that is not flat; flat ground
    counts 0. Missing where the profile prefers no aspect or the ground has no slope.
    """
    aspect, strength, share, preferred = (np.asarray(columns[name], dtype=np.float64) for name in NEEDS)
    pull = np.nan_to_num(strength) * np.nan_to_num(share)
    towards = pull * np.cos(np.radians(np.nan_to_num(aspect) - preferred))
    known = ~np.isnan(share) & ~np.isnan(preferred)
    value = np.where(known, towards, np.nan)
    why = np.where(
        np.isnan(preferred), "the agent's profile prefers no aspect", "no slope in the elevation layer here"
    )
    return CriterionValue(
        unit=UNIT,
        value=value,
        low=value,
        high=value,
        known=known,
        note=tuple("" if is_known else str(reason) for is_known, reason in zip(known, why, strict=True)),
        facts=_facts(preferred),
        details={"aspect_deg": aspect, "aspect_strength": strength, "aspect_share": share},
    )


def _facts(preferred: NDArray[np.float64]) -> tuple[str, ...]:
    if not len(preferred) or np.isnan(preferred[0]):
        return ()
    return (f"strength x share not flat x cos(aspect - {preferred[0]:g} deg)",)


def describe(value: CriterionValue, index: int) -> str:
    """Say which way one patch faces."""
    if not value.known[index]:
        return f"aspect not compared: {value.note[index]}"
    towards = f"{round(float(value.value[index]), 2) + 0.0:.2f} towards the preferred aspect"
    aspect_deg, strength = (float(value.details[name][index]) for name in ("aspect_deg", "aspect_strength"))
    if np.isnan(aspect_deg):
        return f"{towards}: the ground faces no way more than others"
    way = f"the ground faces {aspect_deg:.0f} deg with strength {strength:.2f}"
    return f"{towards} (1 wholly, -1 away): {way}"
