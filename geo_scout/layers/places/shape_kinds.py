"""Kinds of shapes: which a layer takes, and what becomes of mixtures, lines and several points at once."""

from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import GeometryType

from geo_scout.layers.drafts import LayerDraft, Why, geometries
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.listed import counted

ShapeArray = NDArray[Any]

WRONG_SHAPE = Why("shape-wrong", "wrong kind of shape", "Draw it as the layer needs it, or take it out.")
LINE = Why(
    "line-without-width",
    "line without width",
    "Draw it as an area, or state how wide such lines are: line_width_m = 5",
)
MIXTURE = Why(
    "mixture-trimmed",
    "",
    "Put shapes of another kind into a layer of their own.",
    "note",
    is_bad=False,
)
MIXTURE_OF_BOTH = replace(MIXTURE, fix="Give its lines and its polygons each a feature of their own.")

POINTS = (GeometryType.POINT, GeometryType.MULTIPOINT)
LINES = (GeometryType.LINESTRING, GeometryType.LINEARRING, GeometryType.MULTILINESTRING)
POLYGONS = (GeometryType.POLYGON, GeometryType.MULTIPOLYGON)
_ALLOWED = {
    "polygons or points": (*POLYGONS, *POINTS),
    "polygons": POLYGONS,
    "points": (GeometryType.POINT,),
    "lines": LINES,
    "lines or polygons": (*LINES, *POLYGONS),
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


def check_kinds(draft: LayerDraft) -> None:
    """Set aside shapes the layer does not take; of a mixture keep the kind it does, and say so.

    Lines stay in a layer of polygons where the season states their width. Several points in one feature
    stay in a layer of infestations: each may become a circle.
    """
    needed = VECTOR_LAYERS[draft.name].shapes
    shapes = geometries(draft.frame)
    takes_lines = needed.startswith("lines") or draft.table.line_width_m is not None
    _trim_mixtures(draft, shapes, needed, takes_lines=takes_lines)
    for at in np.flatnonzero(shapely.get_type_id(shapes) == GeometryType.MULTIPOINT):
        if len(shapes[at].geoms) == 1:
            shapes[at] = shapes[at].geoms[0]
    draft.frame = draft.frame.set_geometry(shapes, crs=draft.crs)
    kinds = shapely.get_type_id(shapes)
    is_line = np.isin(kinds, LINES) & needed.startswith("polygons")
    is_wrong = ~np.isin(kinds, _ALLOWED[needed]) & ~is_line
    what = [f"it is {_WORDS[GeometryType(kind)]}; this layer needs {needed}." for kind in kinds[is_wrong]]
    unusable_line = is_line[~is_wrong] & (draft.table.line_width_m is None)
    draft.set_aside(is_wrong, WRONG_SHAPE, what)
    draft.set_aside(unusable_line, LINE, f"it is a line; this layer needs {needed}.")


def polygonal_part(shape: Any) -> Any:
    """Return the polygons of a shape as one polygon or multipolygon; empty where it has none."""
    return _part(shape, "Polygon", shapely.MultiPolygon)


def linear_part(shape: Any) -> Any:
    """Return the lines of a shape as one line or multiline; empty where it has none."""
    return _part(shape, "LineString", shapely.MultiLineString)


def _part(shape: Any, kind: str, many: Any) -> Any:
    if shape.geom_type in {kind, f"Multi{kind}"}:
        return shape
    parts = [part for part in _leaves(shape) if part.geom_type == kind]
    return parts[0] if len(parts) == 1 else many(parts)


def _leaves(shape: Any) -> list[Any]:
    """Return the single shapes in a shape, however deep."""
    members = getattr(shape, "geoms", None)
    return [shape] if members is None else [leaf for member in members for leaf in _leaves(member)]


def _trim_mixtures(draft: LayerDraft, shapes: ShapeArray, needed: str, *, takes_lines: bool) -> None:
    trimmed, what = np.zeros(len(shapes), dtype=bool), []
    for at in np.flatnonzero(shapely.get_type_id(shapes) == GeometryType.GEOMETRYCOLLECTION):
        part = polygonal_part(shapes[at]) if "polygons" in needed else linear_part(shapes[at])
        if part.is_empty and takes_lines:
            part = linear_part(shapes[at])
        if part.is_empty or needed == "points":
            continue
        left_out = _left_out(shapes[at], part)
        shapes[at] = part
        if left_out:
            trimmed[at] = True
            what.append(f"it is a mixture of shapes; {left_out} left out.")
    draft.remark(trimmed, MIXTURE_OF_BOTH if needed == "lines or polygons" else MIXTURE, what)


def _left_out(whole: Any, part: Any) -> str:
    """Return in words what a mixture holds beyond the part that is kept."""
    kept = part.geom_type.removeprefix("Multi")
    nouns = {"Point": "point", "LineString": "line", "LinearRing": "line", "Polygon": "polygon"}
    others = Counter(nouns[leaf.geom_type] for leaf in _leaves(whole) if leaf.geom_type != kept)
    words = " and ".join(counted(number, noun) for noun, number in sorted(others.items()))
    return f"{words} in it {'was' if others.total() == 1 else 'were'}" if others else ""
