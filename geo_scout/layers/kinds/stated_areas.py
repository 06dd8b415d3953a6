"""Areas stated for outlines: used for nothing, but one that contradicts its outline tells of a wrong unit."""

import numpy as np
import shapely

from geo_scout.layers.cells.units import DEFAULT_AREA_UNIT, M2_PER_AREA_UNIT
from geo_scout.layers.drafts import LayerDraft, Why, geometries

DIFFERS = Why(
    "area-differs",
    "",
    "Find out which is true: a wrong unit of area, or a wrong reference system, stretches all of them alike.",
    is_bad=False,
)
# Gross area may be drawn generously; twice and half is more than generous. Our choice.
_TIMES = 2.0
_M2_PER_HA = 10_000.0


def say_other_areas(draft: LayerDraft) -> None:
    """Caution for each outline whose stated area is more than twice or less than half of its own.

    The draft is in the working, equal-area system, and points are circles of their stated area already.
    """
    stated = draft.frame["area"].to_numpy(dtype=np.float64)
    if np.isnan(stated).all():
        return
    unit = draft.table.units.get("area", DEFAULT_AREA_UNIT)
    m2_per_unit = M2_PER_AREA_UNIT[unit]
    own_m2 = shapely.area(geometries(draft.frame))
    with np.errstate(invalid="ignore", divide="ignore"):
        times = stated * m2_per_unit / own_m2
    differs = (times > _TIMES) | (times < 1.0 / _TIMES)
    what = [
        f"its area is stated as {_said(area, unit, m2_per_unit)}; its outline has {drawn / _M2_PER_HA:,.4g} "
        "ha, which is what counts."
        for area, drawn in zip(stated[differs], own_m2[differs], strict=True)
    ]
    draft.remark(differs, DIFFERS, what)


def _said(area: float, unit: str, m2_per_unit: float) -> str:
    in_ha = "" if unit == DEFAULT_AREA_UNIT else f" ({area * m2_per_unit / _M2_PER_HA:,.4g} ha)"
    return f"{area:g} {unit}{in_ha}"
