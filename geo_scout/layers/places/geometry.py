"""Shapes: of the right kind, at possible places, brought to the working system once, repaired."""

import re
import threading
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import ProjError

from geo_scout.layers.drafts import LayerDraft, Rows, Why, geometries
from geo_scout.layers.places.areas import LEAST_AREA_M2
from geo_scout.layers.places.moving import moved
from geo_scout.layers.places.reference_systems import first_points_deg, open_passage, say_accuracy
from geo_scout.layers.places.shape_kinds import POLYGONS, check_kinds, polygonal_part
from geo_scout.layers.places.strips import draw_strips

ShapeArray = NDArray[Any]

NO_GEOMETRY = Why("geometry-missing", "no geometry", "Draw it, or take the row out.")
NO_POSITION = Why("geometry-missing", "no position", "Write its coordinates, or take the row out.")
BROKEN_CORNER = "a coordinate is not a number."
IMPOSSIBLE = Why(
    "position-impossible",
    "impossible position",
    "Longitude comes first and lies in -180 to 360, latitude in -90 to 90.",
)
METRES = Why(
    "position-impossible",
    "impossible position",
    "State the layer's own system as `crs`; save a GeoJSON in WGS 84 (EPSG:4326), or as GeoPackage.",
)
NOWHERE = Why("position-lost", "position beyond its system", "Check the layer's coordinate reference system.")
REPAIRED = Why(
    "geometry-repaired",
    "",
    "Check the outline on the map; mend it in the file to be rid of this note.",
    "note",
    is_bad=False,
)
NO_AREA = Why("area-missing", "outline without area", "Draw it again, or take it out.")

_M2_PER_HA = 10_000.0
_SOME = 2_000
# Degrees never reach it; metres of a map always do in one direction, except near its origin.
_LEAST_METRES = 1_000.0
_FULL_TURN_DEG, _POLE_DEG = 360.0, 90.0


def check_shapes(draft: LayerDraft, crs: CRS, *, is_table: bool = False) -> None:
    """Set aside features without a shape, of the wrong kind, or at places that cannot be.

    What has no position in a table has its coordinates to be written, and cannot be drawn.
    The draft's shapes are in ``crs``, its own system, afterwards.
    """
    draft.frame = draft.frame.set_geometry(geometries(draft.frame), crs=crs)
    draft.crs = crs
    shapes = geometries(draft.frame)
    has_none = np.asarray(shapely.is_missing(shapes) | shapely.is_empty(shapes))
    why, what = (NO_POSITION, "it has no position.") if is_table else (NO_GEOMETRY, "it has no geometry.")
    draft.set_aside(has_none, why, what)
    check_kinds(draft)
    _refuse_degrees_as_metres(draft, crs)
    _check_positions(draft, crs)


def _refuse_degrees_as_metres(draft: LayerDraft, crs: CRS) -> None:
    """Stop a layer in metres or feet whose coordinates are all degrees: no map is so near its origin."""
    if not crs.is_projected or not len(draft.frame):
        return
    west, south, east, north = (float(one) for one in shapely.total_bounds(geometries(draft.frame)))
    if not (max(-west, east) <= _FULL_TURN_DEG and max(-south, north) <= _POLE_DEG):
        return
    what = (
        f"the layer is said to be in {crs.name}, but its coordinates run from {west:g} to {east:g} and from "
        f"{south:g} to {north:g}, which are degrees."
    )
    fix = "Save it anew with the reference system it is really in; for degrees that is EPSG:4326."
    draft.say("crs-contradicts", "stop", what, fix)


def place_in(draft: LayerDraft, target: CRS) -> None:
    """Bring the shapes to the working system, once, and repair invalid outlines there.

    Where the way there is not exact, ``accuracy_m`` of the draft says how far off positions may be.
    """
    assert draft.crs is not None
    shapes, source = geometries(draft.frame), draft.crs
    try:
        # Where the data are decides between transformations; some of them say that as well as all.
        first_deg = first_points_deg(shapes[:: max(1, len(shapes) // _SOME)], source)
        passage = open_passage(source, target, *first_deg)
    except ProjError:
        what = f"coordinates in {source.name} cannot be brought to the season's map."
        draft.say("crs-unusable", "stop", what, "Save the layer in a national system or in WGS 84.")
        return
    if len(shapes):
        draft.accuracy_m = say_accuracy(passage, draft)

    here = threading.get_ident()

    def open_transformer() -> Transformer:
        # A transformer that was chosen among several must not be shared between threads.
        is_here = threading.get_ident() == here
        return (passage if is_here else open_passage(source, target, *first_deg)).transformer

    there, is_valid = moved(shapes, open_transformer)
    # Bounds pass over a corner that is no number; only an outline that is not valid can have one.
    is_broken = ~is_valid
    is_broken[is_broken] = _has_a_broken_corner(shapes[is_broken])
    draft.set_aside(is_broken, NO_GEOMETRY, BROKEN_CORNER)
    there, is_valid = there[~is_broken], is_valid[~is_broken]
    is_lost = ~_is_finite(there)
    draft.set_aside(is_lost, NOWHERE, f"its coordinates have no place in {source.name}.")
    draft.frame = draft.frame.set_geometry(there[~is_lost], crs=target)
    draft.crs = target
    _repair(draft, is_valid[~is_lost])
    draw_strips(draft)
    _set_aside_without_area(draft)


def _check_positions(draft: LayerDraft, crs: CRS) -> None:
    broken = ~_is_finite(geometries(draft.frame))
    draft.set_aside(broken, NO_GEOMETRY, BROKEN_CORNER)
    if not crs.is_geographic:
        return
    bounds = shapely.bounds(geometries(draft.frame)).reshape(-1, 4)
    furthest_longitude, furthest_latitude = _furthest(bounds[:, [0, 2]]), _furthest(bounds[:, [1, 3]])
    impossible: Rows = (np.abs(furthest_latitude) > 90.0) | (np.abs(furthest_longitude) > 360.0)
    in_metres: Rows = np.maximum(np.abs(furthest_longitude), np.abs(furthest_latitude)) > _LEAST_METRES
    for rows, why in ((impossible & in_metres, METRES), (impossible & ~in_metres, IMPOSSIBLE)):
        places = zip(furthest_longitude[rows].tolist(), furthest_latitude[rows].tolist(), strict=True)
        # Rows set aside for the first reason are no longer there for the second.
        here = rows if why is METRES else rows[~(impossible & in_metres)]
        draft.set_aside(here, why, [_impossible(*place) for place in places])


def _is_finite(shapes: ShapeArray) -> Rows:
    bounds: NDArray[np.float64] = shapely.bounds(shapes).reshape(-1, 4)
    return np.all(np.isfinite(bounds), axis=1)  # type: ignore[no-any-return]


def _has_a_broken_corner(shapes: ShapeArray) -> Rows:
    corners, owner = shapely.get_coordinates(shapes, return_index=True)
    broken = np.zeros(len(shapes), dtype=bool)
    broken[owner[~np.isfinite(corners).all(axis=1)]] = True
    return broken


def _furthest(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(np.abs(ends[:, 0]) > np.abs(ends[:, 1]), ends[:, 0], ends[:, 1])


def _impossible(longitude_deg: float, latitude_deg: float) -> str:
    if max(abs(longitude_deg), abs(latitude_deg)) > _LEAST_METRES:
        place = f"{longitude_deg:,.0f}, {latitude_deg:,.0f}"
        return f"{place} is no longitude and latitude in degrees; it looks like metres or feet on a map."
    place = f"longitude {longitude_deg:g} deg, latitude {latitude_deg:g} deg is nowhere on Earth"
    is_swapped = abs(longitude_deg) <= 90.0 and abs(latitude_deg) <= 360.0
    return f"{place}; the two look swapped." if is_swapped else f"{place}."


def _repair(draft: LayerDraft, is_valid: Rows) -> None:
    shapes = geometries(draft.frame)
    invalid = ~is_valid & np.isin(shapely.get_type_id(shapes), POLYGONS)
    if not invalid.any():
        return
    before = shapes[invalid]
    after = np.empty(len(before), dtype=object)
    after[:] = [polygonal_part(shape) for shape in shapely.make_valid(before)]
    what = [
        f"its outline is not valid ({reason}); repaired: {before_ha:.4f} ha before, {after_ha:.4f} ha after."
        for reason, before_ha, after_ha in zip(
            (re.sub(r"\[.*\]", "", text).strip().lower() for text in shapely.is_valid_reason(before)),
            shapely.area(before) / _M2_PER_HA,
            shapely.area(after) / _M2_PER_HA,
            strict=True,
        )
    ]
    remains = invalid.copy()
    remains[invalid] = shapely.area(after) > 0.0
    draft.remark(remains, REPAIRED, [w for w, stays in zip(what, remains[invalid], strict=True) if stays])
    shapes[invalid] = after
    draft.frame = draft.frame.set_geometry(shapes, crs=draft.crs)


def _set_aside_without_area(draft: LayerDraft) -> None:
    shapes = geometries(draft.frame)
    flat = np.isin(shapely.get_type_id(shapes), POLYGONS) & (shapely.area(shapes) < LEAST_AREA_M2)
    draft.set_aside(flat, NO_AREA, "its outline encloses no area.")
