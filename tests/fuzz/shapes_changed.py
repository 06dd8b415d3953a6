"""Outlines and points replaced by what drawing by hand, conversion and copying leave behind."""

import math
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from shapely.geometry.base import BaseGeometry

from tests.fuzz.kits import Kit
from tests.fuzz.map_files import MapFile, write_map

Shape = BaseGeometry | None
_FAR = (0.0, 1e-9, 90.0, -90.0, 95.0, 180.0, -180.0, 181.0, 359.0, 361.0, 1e5, 1e7, 2e7, 1e12, 1e30, 1e300)
_BROKEN = (math.nan, math.inf, -math.inf)
_SYSTEMS: tuple[Any, ...] = (
    None, "EPSG:4326", "EPSG:3857", "EPSG:32612", "EPSG:32712", "EPSG:2256", "EPSG:4267", "EPSG:5070",
    "EPSG:3031", "EPSG:4978", "EPSG:27700", "ESRI:54030", "EPSG:5041",
)  # fmt: skip
_POSITIONS = ("longitude_deg", "latitude_deg", "lon", "lat", "easting_m", "northing_m", "utm_zone", "place")


def change_shapes(chance: Random, kit: Kit, folder: Path) -> str:
    """Change shapes of one layer, or the position cells of a table, and return what was done."""
    file = chance.choice(kit.maps)
    if not isinstance(file.rows, gpd.GeoDataFrame):
        rows, words = _change_positions(chance, file)
    elif chance.random() < 0.15:
        rows, words = _change_system(chance, file.rows)
    else:
        rows, words = _change_some(chance, file.rows)
    write_map(folder, file, rows)
    return f"{file.path} ({file.layer}): {words}"


def _change_some(chance: Random, frame: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame, str]:
    number = chance.choice((1, 1, 1, 2, len(frame)))
    at = sorted(chance.sample(range(len(frame)), min(number, len(frame))))
    way = chance.choice(_WAYS)
    shapes = np.array(frame.geometry.tolist(), dtype=object)
    for row in at:
        shapes[row] = way(chance, shapes[row])
    return frame.set_geometry(gpd.GeoSeries(list(shapes), crs=frame.crs)), f"{way.__name__[1:]} in rows {at}"


def _change_system(chance: Random, frame: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame, str]:
    """State another system than the coordinates are in, or bring them to an unusual one."""
    system = chance.choice(_SYSTEMS)
    if system is not None and chance.random() < 0.5:
        return frame.to_crs(system), f"brought to {system}"
    return frame.set_crs(system, allow_override=True), f"said to be in {system}"


def _change_positions(chance: Random, file: MapFile) -> tuple[pd.DataFrame, str]:
    """Change where the rows of a table say they are."""
    columns = [str(name) for name in file.rows.columns if name in _POSITIONS]
    column = chance.choice(columns)
    written = [str(text) for text in file.rows[column]]
    at = sorted(chance.sample(range(len(written)), chance.choice((1, 1, 2, len(written)))))
    if len(columns) > 1 and chance.random() < 0.2:
        other = chance.choice([name for name in columns if name != column])
        swapped = file.rows.assign(**{column: file.rows[other], other: file.rows[column]})
        return swapped, f"{column} and {other} swapped"
    words = ""
    for row in at:
        text = written[row]
        words = chance.choice(
            (
                str(chance.choice((*_FAR, *_BROKEN))),
                f"-{text}",
                text.replace("-", ""),
                text.replace(".", ","),
                f"{text}E",
                f"{text} S",
                text[: len(text) // 2],
                text + text,
                text.lower(),
                text.translate(str.maketrans("0123456789", "٠١٢٣٤٥٦٧٨٩")),
                f"'{text}",
                text.replace("1", "l"),
                "47 59 60",
                "47°59'60.0\"N",
                "109 60 0 W",
                "0",
                "",
                "12T",
                "01N",
                "61N",
                "12 south",
                "12TVT",
                "12T VT",
                "ZAB 12345 67890",
                "31U DQ 48251 11932",
            )
        )
        written[row] = words
    return file.rows.assign(**{column: written}), f"{column} is {words[:60]!r} in the last of rows {at}"


def _moved(shape: Shape, change: Callable[[np.ndarray], np.ndarray]) -> Shape:
    return None if shape is None else shapely.transform(shape, change)


def _swap_axes(_: Random, shape: Shape) -> Shape:
    return _moved(shape, lambda at: at[:, ::-1])


def _shift(chance: Random, shape: Shape) -> Shape:
    by = np.array([chance.choice((*_FAR, 0.0, 0.0)), chance.choice((*_FAR, 0.0, 0.0))]) * chance.choice(
        (1, -1)
    )
    return _moved(shape, lambda at: at + by)


def _stretch(chance: Random, shape: Shape) -> Shape:
    factor = chance.choice((0.0, 1e-9, -1.0, 10.0, 1e3, 1e6, 1e20))
    return _moved(shape, lambda at: at.mean(axis=0) + (at - at.mean(axis=0)) * factor)


def _break_one(chance: Random, shape: Shape) -> Shape:
    """Make one coordinate no number, or a far one."""
    if shape is None:
        return None
    places = shapely.get_coordinates(shape)
    row, axis = chance.randrange(len(places)), chance.randrange(2)
    value = chance.choice((*_BROKEN, *_FAR))

    def change(at: np.ndarray) -> np.ndarray:
        changed = at.copy()
        changed[row, axis] = value
        # A ring stays closed where its first corner moves.
        if row == 0 and len(changed) > 3:
            changed[-1] = changed[0]
        return changed

    return shapely.transform(shape, change)


def _break_all(chance: Random, shape: Shape) -> Shape:
    value = chance.choice(_BROKEN)
    return _moved(shape, lambda at: np.full_like(at, value))


def _nothing(chance: Random, shape: Shape) -> Shape:
    empty: tuple[Shape, ...] = (
        None, shapely.Point(), shapely.Polygon(), shapely.MultiPolygon(), shapely.GeometryCollection(),
        shapely.LineString(),
    )  # fmt: skip
    return chance.choice(empty)


def _bow_tie(_: Random, shape: Shape) -> Shape:
    west, south, east, north = _box(shape)
    return shapely.Polygon([(west, south), (east, north), (east, south), (west, north)])


def _flat(chance: Random, shape: Shape) -> Shape:
    """Return an outline of no area, or next to none."""
    west, south, east, north = _box(shape)
    aside = chance.choice((0.0, 1e-12, 1e-7))
    return shapely.Polygon([(west, south), (east, north), (east + aside, north), (west, south)])


def _doubled(_: Random, shape: Shape) -> Shape:
    """Repeat every corner, and the shape on top of itself."""
    if not isinstance(shape, shapely.Polygon):
        return shapely.MultiPoint([shapely.Point(0, 0)] * 3) if shape is None else shape
    corners = np.repeat(shapely.get_coordinates(shape.exterior), 3, axis=0)
    return shapely.MultiPolygon([shapely.Polygon(corners), shapely.Polygon(corners)])


def _with_height(chance: Random, shape: Shape) -> Shape:
    return None if shape is None else shapely.force_3d(shape, z=chance.choice((0.0, 1e30, math.nan)))


def _with_measure(chance: Random, shape: Shape) -> Shape:
    if shape is None:
        return None
    text = shapely.to_wkt(shapely.Point(shapely.get_coordinates(shape)[0]))
    return shapely.from_wkt(
        text.replace("POINT", chance.choice(("POINT M", "POINT ZM"))).replace(")", " 1 2)")
    )


def _collected(chance: Random, shape: Shape) -> Shape:
    if shape is None:
        return shapely.GeometryCollection()
    west, south, east, north = _box(shape)
    others: list[Any] = [
        shapely.Point(west, south),
        shapely.LineString([(west, south), (east, north)]),
        shapely.GeometryCollection([shape]),
        shapely.GeometryCollection(),
    ]
    return shapely.GeometryCollection([shape, *chance.sample(others, chance.randrange(5))])


def _other_kind(chance: Random, shape: Shape) -> Shape:
    west, south, east, north = _box(shape)
    corners = [(west, south), (east, south), (east, north), (west, north)]
    kinds: tuple[Shape, ...] = (
        shapely.Point(west, south),
        shapely.MultiPoint(corners),
        shapely.LineString(corners),
        shapely.LineString([corners[0], corners[0]]),
        shapely.MultiLineString([corners, corners]),
        shapely.LinearRing(corners),
        shapely.Polygon(corners),
        shapely.Polygon(corners, [corners]),
        shapely.Polygon(corners, [[(west - 1, south - 1), (east + 1, south - 1), (east + 1, north + 1)]]),
        shapely.MultiPolygon([shapely.Polygon(corners)] * 4),
    )
    return chance.choice(kinds)


def _across_the_antimeridian(chance: Random, _: Shape) -> Shape:
    boxes = (
        shapely.box(179.9, 47.0, 180.1, 47.1),
        shapely.box(-179.9, 47.0, 179.9, 47.1),
        shapely.MultiPolygon(
            [shapely.box(179.9, 47.0, 180.0, 47.1), shapely.box(-180.0, 47.0, -179.9, 47.1)]
        ),
        shapely.box(250.3, 47.0, 250.4, 47.1),
    )
    return chance.choice(boxes)


def _huge(chance: Random, _: Shape) -> Shape:
    boxes = (
        shapely.box(-180, -90, 180, 90),
        shapely.box(-110, 46, -109, 48),
        shapely.box(-180, 89.999, 180, 90),
        shapely.box(-2e7, -2e7, 2e7, 2e7),
        shapely.box(500000, 5100000, 700000, 5300000),
        shapely.Point(-109.55, 47.1).buffer(0.2, quad_segs=5000),
    )
    return chance.choice(boxes)


def _comb(_: Random, shape: Shape) -> Shape:
    """Return an outline of many thin teeth."""
    west, south, east, north = _box(shape)
    teeth = 400
    width = (east - west) / (2 * teeth)
    corners = [(west, south - (north - south))]
    for tooth in range(teeth):
        left = west + 2 * tooth * width
        corners += [(left, south), (left, north), (left + width, north), (left + width, south)]
    return shapely.Polygon([*corners, (east, south - (north - south))])


def _bent(_: Random, shape: Shape) -> Shape:
    """Turn the outline inside out: its corners in the other direction."""
    return None if shape is None else shapely.reverse(shape)


def _box(shape: Shape) -> tuple[float, float, float, float]:
    if shape is None or shape.is_empty:
        return -109.6, 47.1, -109.5, 47.2
    west, south, east, north = shape.bounds
    return (west, south, east, north) if east > west else (west, south, west + 1e-3, south + 1e-3)


_WAYS: tuple[Callable[[Random, Shape], Shape], ...] = (
    _swap_axes, _shift, _shift, _stretch, _break_one, _break_one, _break_all, _nothing, _bow_tie, _flat,
    _doubled, _with_height, _with_measure, _collected, _other_kind, _other_kind, _across_the_antimeridian,
    _huge, _comb, _bent,
)  # fmt: skip
