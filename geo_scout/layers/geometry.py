"""Shapes: of the right kind, at possible places, brought to the working system once, repaired."""

import re
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import ProjError
from shapely import GeometryType

from geo_scout.layers.drafts import LayerDraft, Rows, Why, geometries
from geo_scout.layers.reference_systems import first_points_deg, open_passage, say_accuracy
from geo_scout.model.columns import VECTOR_LAYERS

ShapeArray = NDArray[Any]

NO_GEOMETRY = Why("geometry-missing", "no geometry", "Draw it, or take the row out.")
WRONG_SHAPE = Why("shape-wrong", "wrong kind of shape", "Draw it as the layer needs it, or take it out.")
IMPOSSIBLE = Why(
    "position-impossible",
    "impossible position",
    "Longitude comes first and lies in -180 to 360, latitude in -90 to 90.",
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

_POINTS = (GeometryType.POINT, GeometryType.MULTIPOINT)
_LINES = (GeometryType.LINESTRING, GeometryType.LINEARRING, GeometryType.MULTILINESTRING)
_POLYGONS = (GeometryType.POLYGON, GeometryType.MULTIPOLYGON)
_ALLOWED = {
    "polygons or points": (*_POLYGONS, *_POINTS),
    "polygons": _POLYGONS,
    "points": _POINTS,
    "lines": _LINES,
}
_WORDS = {
    GeometryType.POINT: "a point",
    GeometryType.MULTIPOINT: "several points in one feature",
    GeometryType.LINESTRING: "a line",
    GeometryType.LINEARRING: "a line",
    GeometryType.MULTILINESTRING: "a line",
    GeometryType.POLYGON: "a polygon",
    GeometryType.MULTIPOLYGON: "a polygon",
    GeometryType.GEOMETRYCOLLECTION: "a mixture of shapes",
}
_M2_PER_HA = 10_000.0


def check_shapes(draft: LayerDraft, crs: CRS) -> None:
    """Set aside features without a shape, of the wrong kind, or at places that cannot be.

    The draft's shapes are in ``crs``, its own system, afterwards.
    """
    draft.frame = draft.frame.set_geometry(geometries(draft.frame), crs=crs)
    draft.crs = crs
    shapes = geometries(draft.frame)
    has_none = np.asarray(shapely.is_missing(shapes) | shapely.is_empty(shapes))
    draft.set_aside(has_none, NO_GEOMETRY, "it has no geometry.")
    _check_kinds(draft)
    _check_positions(draft, crs)


def place_in(draft: LayerDraft, target: CRS) -> None:
    """Bring the shapes to the working system, once, and repair invalid outlines there."""
    assert draft.crs is not None
    shapes = geometries(draft.frame)
    try:
        passage = open_passage(draft.crs, target, *first_points_deg(shapes, draft.crs))
    except ProjError:
        what = f"coordinates in {draft.crs.name} cannot be brought to the season's map."
        draft.say("crs-unusable", "stop", what, "Save the layer in a national system or in WGS 84.")
        return
    if len(shapes):
        say_accuracy(passage, draft)
    moved = _moved(shapes, passage.transformer)
    is_lost = ~_is_finite(moved)
    draft.set_aside(is_lost, NOWHERE, f"its coordinates have no place in {draft.crs.name}.")
    draft.frame = draft.frame.set_geometry(moved[~is_lost], crs=target)
    draft.crs = target
    _repair(draft)


def polygonal_part(shape: Any) -> Any:
    """Return the polygons of a shape as one polygon or multipolygon; empty where it has none."""
    if shape.geom_type in {"Polygon", "MultiPolygon"}:
        return shape
    parts = [
        part for member in getattr(shape, "geoms", ()) for part in shapely.get_parts(polygonal_part(member))
    ]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def _check_kinds(draft: LayerDraft) -> None:
    needed = VECTOR_LAYERS[draft.name].shapes
    shapes = geometries(draft.frame)
    kinds = shapely.get_type_id(shapes)
    if needed.startswith("polygons"):
        for at in np.flatnonzero(kinds == GeometryType.GEOMETRYCOLLECTION):
            part = polygonal_part(shapes[at])
            shapes[at] = shapes[at] if part.is_empty else part
    for at in np.flatnonzero(kinds == GeometryType.MULTIPOINT):
        if len(shapes[at].geoms) == 1:
            shapes[at] = shapes[at].geoms[0]
    kinds = shapely.get_type_id(shapes)
    # Several points in one feature have no single place and no share of the stated area.
    is_wrong = ~np.isin(kinds, _ALLOWED[needed]) | (kinds == GeometryType.MULTIPOINT)
    draft.frame = draft.frame.set_geometry(shapes, crs=draft.crs)
    what = [f"it is {_WORDS[GeometryType(kind)]}; this layer needs {needed}." for kind in kinds[is_wrong]]
    draft.set_aside(is_wrong, WRONG_SHAPE, what)


def _check_positions(draft: LayerDraft, crs: CRS) -> None:
    broken = ~_is_finite(geometries(draft.frame))
    draft.set_aside(broken, NO_GEOMETRY, "a coordinate is not a number.")
    if not crs.is_geographic:
        return
    bounds = shapely.bounds(geometries(draft.frame)).reshape(-1, 4)
    furthest_longitude, furthest_latitude = _furthest(bounds[:, [0, 2]]), _furthest(bounds[:, [1, 3]])
    impossible: Rows = (np.abs(furthest_latitude) > 90.0) | (np.abs(furthest_longitude) > 360.0)
    what = [
        _impossible(float(longitude), float(latitude))
        for longitude, latitude in zip(
            furthest_longitude[impossible], furthest_latitude[impossible], strict=True
        )
    ]
    draft.set_aside(impossible, IMPOSSIBLE, what)


def _is_finite(shapes: ShapeArray) -> Rows:
    bounds: NDArray[np.float64] = shapely.bounds(shapes).reshape(-1, 4)
    return np.all(np.isfinite(bounds), axis=1)  # type: ignore[no-any-return]


def _moved(shapes: ShapeArray, transformer: Transformer) -> ShapeArray:
    """Return the shapes in another system, all vertices in one call."""
    vertices = shapely.get_coordinates(shapes)
    easting_m, northing_m = transformer.transform(vertices[:, 0], vertices[:, 1])
    moved: ShapeArray = shapely.set_coordinates(shapes.copy(), np.column_stack([easting_m, northing_m]))
    return moved


def _furthest(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(np.abs(ends[:, 0]) > np.abs(ends[:, 1]), ends[:, 0], ends[:, 1])


def _impossible(longitude_deg: float, latitude_deg: float) -> str:
    place = f"longitude {longitude_deg:g} deg, latitude {latitude_deg:g} deg is nowhere on Earth"
    is_swapped = abs(longitude_deg) <= 90.0 and abs(latitude_deg) <= 360.0
    return f"{place}; the two look swapped." if is_swapped else f"{place}."


def _repair(draft: LayerDraft) -> None:
    shapes = geometries(draft.frame)
    invalid = np.isin(shapely.get_type_id(shapes), _POLYGONS) & ~shapely.is_valid(shapes)
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
    is_gone = np.zeros(len(shapes), dtype=bool)
    is_gone[invalid] = shapely.area(after) == 0.0
    draft.remark(
        invalid & ~is_gone, REPAIRED, [w for w, gone in zip(what, is_gone[invalid], strict=True) if not gone]
    )
    shapes[invalid] = after
    draft.frame = draft.frame.set_geometry(shapes, crs=draft.crs)
    draft.set_aside(is_gone, NO_AREA, "its outline encloses no area.")
