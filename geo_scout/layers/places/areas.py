"""Points with a stated area become circles of exactly that area."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import GeometryType

from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma, say_commas
from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.cells.units import area_unit
from geo_scout.layers.drafts import LayerDraft, Why, geometries

CIRCLE_SIDES = 64
_M2_PER_HA = 10_000.0
LEAST_AREA_M2 = 1e-4
"""Ground smaller than a square centimetre is none: shares of it could not be computed."""

NO_POINT_AREA = Why(
    "point-without-area",
    "point without area",
    "Give it an area, or one for all such points: point_area_ha = 0.1",
)
SHARED_AREA = Why(
    "multipoint-area",
    "one area for several points",
    "Make a feature of each point, with an area of its own.",
)
IMPOSSIBLE_AREA = Why(
    "area-impossible", "impossible area", "Write the number alone, above 0 and in the layer's unit of area."
)


def draw_circles(draft: LayerDraft) -> None:
    """Turn the draft's points into circles of their area; points without one use ``point_area_ha``.

    ``area`` becomes a number in the layer's unit; for polygons it is not used.

    The draft is in the working, equal-area system, so that a circle there has its true area.
    """
    written = draft.texts("area")
    stated, unreadable, comma = as_numbers_with_comma(
        draft.frame["area"].to_numpy(), draft.table.decimal_comma
    )
    say_commas(draft, "area", comma)
    draft.frame["area"] = stated
    is_point = _is_point(draft)
    if not is_point.any():
        return
    unit, m2_per_unit = area_unit(draft)
    wrong = is_point & (unreadable | (stated <= 0.0))
    what = [f"its area '{text}' is not a number above 0 (unit: {unit})." for text in as_texts(written[wrong])]
    draft.set_aside(wrong, IMPOSSIBLE_AREA, what)
    area_m2 = stated[~wrong] * m2_per_unit
    shared = _is_several(draft) & ~np.isnan(area_m2)
    draft.set_aside(
        shared, SHARED_AREA, "it is several points in one feature, and nobody knows each one's area."
    )
    area_m2 = area_m2[~shared]
    is_point = _is_point(draft)
    area_m2 = _filled(draft, is_point, area_m2)
    without = is_point & np.isnan(area_m2)
    draft.set_aside(without, NO_POINT_AREA, "it is a point and has no area.")
    is_point, area_m2 = is_point[~without], area_m2[~without]
    too_small = is_point & (area_m2 < LEAST_AREA_M2)
    draft.set_aside(too_small, IMPOSSIBLE_AREA, "its area is less than a square centimetre.")
    is_point, area_m2 = is_point[~too_small], area_m2[~too_small]
    shapes = geometries(draft.frame)
    shapes[is_point] = _circles_of(shapes[is_point], area_m2[is_point])
    draft.frame = draft.frame.set_geometry(shapes, crs=draft.crs)


def circles(centres_m: NDArray[np.float64], area_m2: NDArray[np.float64]) -> NDArray[np.object_]:
    """Return regular polygons of 64 sides with exactly the areas given.

    Parameters
    ----------
    centres_m
        (n, 2) easting and northing in an equal-area system [m].
    area_m2
        (n,) area of each [m2].

    Examples
    --------
    >>> shape = circles(np.array([[500.0, 200.0]]), np.array([10_000.0]))[0]
    >>> round(shape.area, 6), round(shape.centroid.x, 6)
    (10000.0, 500.0)
    """
    turn = 2.0 * np.pi / CIRCLE_SIDES
    # A regular polygon of n sides and corner radius r has the area n / 2 r^2 sin(2 pi / n).
    radius_m = np.sqrt(2.0 * area_m2 / (CIRCLE_SIDES * np.sin(turn)))
    angles = turn * np.arange(CIRCLE_SIDES)
    corners = np.column_stack([np.cos(angles), np.sin(angles)])
    outlines = centres_m[:, None, :] + radius_m[:, None, None] * corners[None, :, :]
    return np.asarray(shapely.polygons(outlines), dtype=object).reshape(-1)


def _circles_of(points: NDArray[np.object_], area_m2: NDArray[np.float64]) -> NDArray[np.object_]:
    """Return a circle for each point, and for several points in one feature their circles as one shape."""
    places, owner = shapely.get_coordinates(points, return_index=True)
    drawn = circles(places, area_m2[owner])
    if len(places) == len(points):
        return drawn
    together = np.empty(len(points), dtype=object)
    together[:] = [shapely.union_all(drawn[owner == at]) for at in range(len(points))]
    return together


def _is_several(draft: LayerDraft) -> NDArray[np.bool_]:
    return np.asarray(shapely.get_type_id(geometries(draft.frame)) == GeometryType.MULTIPOINT, dtype=bool)


def _is_point(draft: LayerDraft) -> NDArray[np.bool_]:
    kinds = shapely.get_type_id(geometries(draft.frame))
    return np.isin(kinds, (GeometryType.POINT, GeometryType.MULTIPOINT))


def _filled(
    draft: LayerDraft, is_point: NDArray[np.bool_], area_m2: NDArray[np.float64]
) -> NDArray[np.float64]:
    missing, point_area_ha = is_point & np.isnan(area_m2), draft.table.point_area_ha
    if point_area_ha is None or not missing.any():
        return area_m2
    number = draft.told(missing, "point")
    what = f"{number} without an area became circles of {point_area_ha:g} ha (point_area_ha)."
    draft.say("point-area-used", "note", what, "Give these points an area of their own if you know it.")
    return np.where(missing, point_area_ha * _M2_PER_HA, area_m2)
