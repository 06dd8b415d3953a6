"""Heat load of the patch: warm south-west slopes high, cool north-east slopes low."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("heat_load", "heat_load_valid_share", "slope_deg", "heat_load_equation")
UNIT = ""

_WHOLE_SHARE = 0.995
_HOLDS = {
    1: "equation 1 holds for latitudes 0 to 60 deg",
    2: "equation 2 holds for latitudes 0 to 60 deg and slopes to 60 deg",
    3: "equation 3 holds for latitudes 30 to 60 deg and slopes to 60 deg",
}


def measure(columns: Columns) -> CriterionValue:
    """Return the area-weighted mean heat load of every patch [MJ/cm2/yr, as an index].

    Missing where no cell has a slope, and where latitude or slope lie beyond what the equation holds for.
    """
    value, share, slope, equation = (np.asarray(columns[name], dtype=np.float64) for name in NEEDS)
    known = ~np.isnan(value)
    note = [
        ("" if part >= _WHOLE_SHARE else f"on the {part:.0%} of the patch that has a heat load")
        if is_known
        else f"{_HOLDS[int(number)]} (heat_load_equation)"
        if has_slope
        else "no slope in the elevation layer here"
        for is_known, part, has_slope, number in zip(known, share, ~np.isnan(slope), equation, strict=True)
    ]
    return CriterionValue(
        UNIT, value, value, value, known, tuple(note), {"heat_load_equation": equation.astype(np.int64)}
    )


def describe(value: CriterionValue, index: int) -> str:
    """Say the heat load of one patch."""
    if not value.known[index]:
        return f"heat load unknown: {value.note[index]}"
    note = f" {value.note[index]}" if value.note[index] else ""
    equation = int(value.details["heat_load_equation"][index])
    return f"heat load {value.value[index]:.3f} (McCune & Keon 2002, equation {equation}){note}"
