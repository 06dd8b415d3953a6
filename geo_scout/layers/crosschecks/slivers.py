"""Slivers: outlines too thin or too small to be ground anybody drew on purpose."""

import numpy as np
import shapely

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import LayerDraft, Why, geometries

# Our choice: below what a satellite receiver or a pen on a map can tell apart.
LEAST_AREA_M2, LEAST_WIDTH_M = 1.0, 0.5
SLIVER = Why(
    "sliver",
    "",
    "Take it out, or join it to its neighbour; slivers come from maps laid over each other.",
    is_bad=False,
)
_M2_PER_HA = 10_000.0
_LAYERS = ("infestations", "surveyed_areas", "treatments", "land_classes", "boundaries")


def check_slivers(read: LayersRead) -> None:
    """Caution on polygons smaller than 1 m2 or, on average, narrower than 0.5 m."""
    for name in _LAYERS:
        if (draft := read.usable(name)) is not None:
            _say_slivers(draft)


def _say_slivers(draft: LayerDraft) -> None:
    """Take as mean width twice the area over the outline: that of a long strip."""
    shapes = geometries(draft.frame)
    area_m2, outline_m = shapely.area(shapes), shapely.length(shapes)
    width_m = np.divide(2.0 * area_m2, outline_m, out=np.full(len(shapes), np.inf), where=outline_m > 0.0)
    rows = (area_m2 < LEAST_AREA_M2) | (width_m < LEAST_WIDTH_M)
    sentences = [
        f"it is a sliver: {area / _M2_PER_HA:.6f} ha, {width:.2f} m wide on average."
        for area, width in zip(area_m2[rows], width_m[rows], strict=True)
    ]
    remark_first(draft, rows, SLIVER, sentences)
