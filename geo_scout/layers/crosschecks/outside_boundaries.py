"""Features outside every boundary: nobody knows whose law holds there."""

import numpy as np
import shapely

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import FIRST, remark_first
from geo_scout.layers.drafts import LayerDraft, Rows, Why, geometries

OUTSIDE = Why(
    "outside-boundaries",
    "",
    "Give boundaries that reach this far, or correct the position.",
    is_bad=False,
)
_LAYERS = ("infestations", "releases", "visits", "requests")


def check_inside_boundaries(read: LayersRead) -> None:
    """Caution on features that touch no boundary polygon, with their distance from the nearest."""
    boundaries = read.usable("boundaries")
    if boundaries is None:
        return
    areas = geometries(boundaries.frame)
    tree = shapely.STRtree(areas)
    for name in _LAYERS:
        draft = read.usable(name)
        if draft is None:
            continue
        outside = _is_outside(draft, tree)
        if outside.any():
            _say_outside(draft, outside, tree)


def _is_outside(draft: LayerDraft, areas: shapely.STRtree) -> Rows:
    """Look up middles first, then whole shapes; the areas, not the many features, are prepared."""
    shapes = geometries(draft.frame)
    bounds = shapely.bounds(shapes)
    middles = np.asarray(shapely.points((bounds[:, :2] + bounds[:, 2:]) / 2), dtype=object)
    outside = np.ones(len(shapes), dtype=bool)
    _, inside = shapely.STRtree(middles).query(areas.geometries, predicate="intersects")
    outside[inside] = False
    left = np.flatnonzero(outside)
    _, touching = shapely.STRtree(shapes[left]).query(areas.geometries, predicate="intersects")
    outside[left[touching]] = False
    return outside


def _say_outside(draft: LayerDraft, outside: Rows, areas: shapely.STRtree) -> None:
    first = geometries(draft.frame)[outside][:FIRST]
    _, distance_m = areas.query_nearest(first, all_matches=False, return_distance=True)
    sentences = [
        f"it lies outside every boundary, {far:,.0f} m from the nearest, so whose law holds there is unknown."
        for far in distance_m
    ]
    remark_first(draft, outside, OUTSIDE, sentences)
