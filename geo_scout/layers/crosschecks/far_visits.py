"""Visits that name a release far from where they were made."""

import numpy as np
import shapely

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.crosschecks.visit_order import release_of
from geo_scout.layers.drafts import Why, geometries
from geo_scout.layers.kinds.point_records import uncertainty_m
from geo_scout.model.season import GEORECORD_FLOOR_M

FAR = Why("visit-far-from-release", "", "Correct the release_id, or one of the two positions.", is_bad=False)
FAR_M = 1_000.0
"""Our choice: farther than agents are looked for around a release, and than a patch is wide."""


def check_far_visits(read: LayersRead) -> None:
    """Caution on visits farther from the release they name than both positions may be off, and 1,000 m.

    Each position may be off by 30 m at least. A visit joined by place lies near its release anyway.
    """
    visits, releases = read.usable("visits"), read.usable("releases")
    if visits is None or releases is None:
        return
    at = release_of(visits, releases)
    gap_m = shapely.distance(geometries(visits.frame), geometries(releases.frame)[at])
    unsure_m = np.maximum(uncertainty_m(visits), GEORECORD_FLOOR_M)
    unsure_m = unsure_m + np.maximum(uncertainty_m(releases), GEORECORD_FLOOR_M)[at]
    rows = (at >= 0) & (visits.texts("release_link") == "id") & (gap_m > unsure_m + FAR_M)
    sentences = [
        f"it lies {metres / 1000.0:,.1f} km from the release it names, {name}; that is more than their "
        f"uncertainties, {off_m:,.0f} m together, and {FAR_M:,.0f} m (our choice). It still counts for its "
        "own place."
        for metres, name, off_m in zip(
            gap_m[rows], visits.texts("release_id")[rows], unsure_m[rows], strict=True
        )
    ]
    remark_first(visits, np.asarray(rows, dtype=bool), FAR, sentences)
