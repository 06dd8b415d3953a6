"""Lines on paper: districts, jurisdictions, and what the ground is used for."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import polygonize, unary_union

from making.frame import (
    DISTRICTS_EAST_M,
    DISTRICTS_NORTH_M,
    DISTRICTS_SOUTH_M,
    DISTRICTS_WEST_M,
    Raster,
    chance,
)
from making.lines import draw_blob
from making.names import DISTRICTS_NORTH, DISTRICTS_SOUTH, JURISDICTION_NORTH, JURISDICTION_SOUTH
from making.noise import draw_fractal


@dataclass(frozen=True)
class District:
    """One district and the jurisdiction whose law holds there."""

    name: str
    jurisdiction: str
    shape: Polygon


def make_districts(river: LineString) -> list[District]:
    """Return four districts, two on each side of the river; neighbours share every vertex of their border."""
    west, south, east, north = DISTRICTS_WEST_M, DISTRICTS_SOUTH_M, DISTRICTS_EAST_M, DISTRICTS_NORTH_M
    outline = Polygon(
        [
            (west, south),
            (604_000, south),
            (604_000, south + 600),
            (east - 3_000, south + 600),
            (east - 3_000, south),
            (east, south),
            (east, north - 2_400),
            (east - 2_400, north - 2_400),
            (east - 2_400, north),
            (west + 4_800, north),
            (west + 4_800, north - 1_600),
            (west, north - 1_600),
        ]
    )
    upper = LineString(
        [
            (608_000, north + 1),
            (608_000, 5_230_000),
            (606_400, 5_230_000),
            (606_400, 5_224_000),
            (608_800, 5_224_000),
            (608_800, 5_214_000),
        ]
    )
    lower = LineString(
        [(611_200, 5_226_000), (611_200, 5_216_000), (609_600, 5_216_000), (609_600, south - 1)]
    )
    # Ends of lines that close nothing are dropped, so both inner borders may run past the river.
    parts = [
        part
        for part in polygonize(unary_union([outline.exterior, river, upper, lower]))
        if outline.contains(part.representative_point())
    ]
    districts = []
    for shape in parts:
        middle = shape.representative_point()
        is_north = middle.y > river.interpolate(river.project(middle)).y
        names = DISTRICTS_NORTH if is_north else DISTRICTS_SOUTH
        name = names[0] if middle.x < (607_500 if is_north else 610_500) else names[1]
        districts.append(
            District(
                name,
                JURISDICTION_NORTH if is_north else JURISDICTION_SOUTH,
                shapely.set_precision(shape, 0.1),
            )
        )
    return sorted(districts, key=lambda district: district.name)


def _lay_squares(side_m: float) -> list[Polygon]:
    """Return surveyors' squares over the districts."""
    eastings = np.arange(DISTRICTS_WEST_M + side_m, DISTRICTS_EAST_M - side_m, side_m)
    northings = np.arange(DISTRICTS_SOUTH_M + side_m, DISTRICTS_NORTH_M - side_m, side_m)
    return [
        box(east, north, east + side_m, north + side_m)
        for north in northings.tolist()
        for east in eastings.tolist()
    ]


def _keep_polygons(shape: BaseGeometry, least_ha: float) -> list[Polygon]:
    """Return the polygons of a shape that are at least so large, vertices on full decimetres."""
    parts = shapely.get_parts(shapely.set_precision(shape, 0.1)).tolist()
    return [part for part in parts if isinstance(part, Polygon) and part.area >= least_ha * 1e4]


def _wet_ground(river: LineString, brooks: list[LineString]) -> list[Polygon]:
    """Return reed beds and oxbows beside the river and at the mouths of brooks."""
    random = chance("wet ground")
    beds = []
    for middle_m in np.arange(1_500, river.length, 2_300).tolist():
        place = river.interpolate(middle_m + 900 * (random.random() - 0.5))
        reach_m = 250 + 500 * random.random()
        stretch = river.intersection(place.buffer(reach_m))
        beds.append(stretch.buffer(60 + 90 * random.random(), quad_segs=4).simplify(4))
    for brook in brooks[1:12:2]:
        mouth = brook.interpolate(0.93, normalized=True)
        beds.append(
            draw_blob(random, (mouth.x, mouth.y), 3 + 9 * random.random(), 1.8, 6.28 * random.random())
        )
    return _keep_polygons(unary_union(beds), 1.0)


def _fields(slope_pct: Raster, river: LineString, wet: MultiPolygon, roads: BaseGeometry) -> list[Polygon]:
    """Return square fields on level ground near the river."""
    random = chance("fields")
    near = river.buffer(2_600)
    luck = Raster(draw_fractal("field belts", 300.0, 6_000, 1.8), 300.0)
    fields = []
    for square in _lay_squares(400.0):
        middle = square.centroid
        corner_m = np.array(square.exterior.coords)
        steepest = slope_pct.read_at(corner_m[:, 0], corner_m[:, 1]).max()
        wanted = luck.read_at(np.array([middle.x]), np.array([middle.y]))[0] > 0.25
        if wanted and steepest < 5 and near.contains(middle) and random.random() < 0.85:
            fields += _keep_polygons(
                square.buffer(-6, join_style="mitre").difference(wet.buffer(20)).difference(roads), 6
            )
    return fields


def _pastures(slope_pct: Raster, taken: BaseGeometry) -> list[Polygon]:
    """Return fenced blocks on the benches, less everything else."""
    random = chance("pastures")
    blocks = []
    for square in _lay_squares(1_600.0):
        corner_m = np.array(square.exterior.coords)
        if slope_pct.read_at(corner_m[:, 0], corner_m[:, 1]).mean() < 16 and random.random() < 0.34:
            blocks.append(square)
    merged = unary_union(blocks).buffer(-12, join_style="mitre")
    return _keep_polygons(merged.difference(taken), 20)


def make_land_classes(
    slope_pct: Raster, river: LineString, brooks: list[LineString], roads: list[LineString]
) -> list[tuple[str, Polygon]]:
    """Return class and outline of every piece; pieces do not overlap."""
    random = chance("reserves")
    reserves = [
        draw_blob(random, (599_200.0, 5_234_200.0), 3_300, 1.5, 0.5, 0.45),
        draw_blob(random, (622_400.0, 5_226_300.0), 420, 1.7, 2.2, 0.45),
        draw_blob(random, (613_400.0, 5_212_800.0), 640, 1.6, 1.4, 0.45),
    ]
    whole = box(DISTRICTS_WEST_M, DISTRICTS_SOUTH_M, DISTRICTS_EAST_M, DISTRICTS_NORTH_M)
    kept = unary_union(reserves)
    wet = [
        part
        for bed in _wet_ground(river, brooks)
        for part in _keep_polygons(bed.difference(kept).intersection(whole), 1)
    ]
    road_strip = unary_union(roads).buffer(14, quad_segs=2)
    fields = [
        part
        for field in _fields(slope_pct, river, MultiPolygon(wet), road_strip)
        for part in _keep_polygons(field.difference(kept), 6)
    ]
    taken = unary_union([*reserves, *wet, *(field.buffer(8) for field in fields), road_strip])
    pieces = [("reserve", shape) for shape in reserves] + [("wetland", shape) for shape in wet]
    pieces += [("crop", shape) for shape in fields] + [
        ("pasture", shape) for shape in _pastures(slope_pct, taken)
    ]
    return pieces


def is_inside(pieces: list[tuple[str, Polygon]], land_class: str, place: Point) -> bool:
    """Return whether the place lies in a piece of this class."""
    return any(name == land_class and shape.contains(place) for name, shape in pieces)
