"""Features outside every boundary: nobody knows whose law holds there."""

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Geod

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import FIRST, remark_first
from geo_scout.layers.drafts import LayerDraft, Rows, Why, geometries
from geo_scout.layers.places.reference_systems import WGS84

OUTSIDE = Why(
    "outside-boundaries",
    "",
    "Give boundaries that reach this far, or correct the position.",
    is_bad=False,
)
_LAYERS = ("infestations", "releases", "visits", "requests")
_FROM_KM_M = 10_000.0


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
    distance_m = _distance_m(first, areas, draft)
    unknown = "so whose law holds there is unknown."
    if outside.all() and len(outside) > 1:
        far = _far(float(distance_m.min()))
        what = f"all {len(outside):,} features lie outside every boundary, the nearest {far} off, {unknown}"
        draft.say(OUTSIDE.code, OUTSIDE.grade, what, OUTSIDE.fix)
        return
    sentences = [
        f"it lies outside every boundary, {_far(one)} from the nearest, {unknown}"
        for one in distance_m.tolist()
    ]
    remark_first(draft, outside, OUTSIDE, sentences)


def _distance_m(
    shapes: NDArray[np.object_], areas: shapely.STRtree, draft: LayerDraft
) -> NDArray[np.float64]:
    """Return how far each shape is from its nearest area: found on the plane, measured on the Earth [m]."""
    assert draft.crs is not None
    _, nearest = areas.query_nearest(shapes, all_matches=False)
    lines = shapely.shortest_line(shapes, areas.geometries[nearest])
    to_degrees = transformer_between(draft.crs, WGS84)
    ends = np.column_stack(to_degrees.transform(*shapely.get_coordinates(lines).T))
    from_east, from_north, to_east, to_north = ends.reshape(-1, 4).T
    _, _, distance_m = Geod(ellps="WGS84").inv(from_east, from_north, to_east, to_north)
    return np.asarray(distance_m, dtype=np.float64)


def _far(distance_m: float) -> str:
    return f"{distance_m:,.0f} m" if distance_m < _FROM_KM_M else f"{distance_m / 1000.0:,.0f} km"
