"""A layer as GeoJSON text (RFC 7946); GDAL writes the same, but slowly where a table is as wide as ours."""

import json
from collections.abc import Sequence
from json.encoder import encode_basestring
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.model.rows import plain_values
from geo_scout.outputs.rings import Ring, rings_of

COORDINATE_DECIMALS = 7
_VERTEX = f"[%.{COORDINATE_DECIMALS}f, %.{COORDINATE_DECIMALS}f]"


def geojson_text(layer: gpd.GeoDataFrame) -> str:
    """Return a layer as a feature collection, one feature to a line.

    Parameters
    ----------
    layer
        Any columns, in WGS 84, longitude first. Missing values become null; times become text.

    Notes
    -----
    Outer rings run anticlockwise, holes clockwise. Coordinates have 7 decimals, about 1 cm.
    """
    names = [name for name in layer.columns if name != layer.geometry.name]
    columns = [_column(layer[name]) for name in names]
    feature = f'{{"type": "Feature", "properties": {{{_members(names)}}}, "geometry": %s}}'
    rows = zip(*columns, _shapes(layer.geometry.to_numpy()), strict=True)
    features = ",\n".join([feature % row for row in rows])
    return f'{{\n"type": "FeatureCollection",\n"features": [\n{features}\n]\n}}\n'


def _members(names: Sequence[object]) -> str:
    """Return the columns' names as the members of an object, with a gap for each value."""
    return ", ".join(f"{encode_basestring(str(name)).replace('%', '%%')}: %s" for name in names)


def _column(values: pd.Series) -> list[str]:
    """Return a column as JSON values. A text that stands in many rows is written out once."""
    plain = list(plain_values(values))
    if values.dtype == np.float64:
        is_number = np.isfinite(values.to_numpy())
        return [
            repr(value) if known else _told(value)
            for value, known in zip(plain, is_number.tolist(), strict=True)
        ]
    if set(map(type, plain)) != {str}:
        return [_told(value) for value in plain]
    written = {text: encode_basestring(text) for text in set(plain)}
    return [written[text] for text in plain]


def _told(value: object) -> str:
    if type(value) is str:
        return encode_basestring(value)
    if type(value) is int:
        return repr(value)
    if value is None or value is pd.NA or value != value:
        return "null"
    return json.dumps(value, ensure_ascii=False, allow_nan=False, default=str)


def _shapes(geometries: NDArray[np.object_]) -> list[str]:
    polygons = rings_of(shapely.orient_polygons(geometries, exterior_cw=False), COORDINATE_DECIMALS)
    return [
        _shape(shape, [f"[{', '.join(map(_ring, rings))}]" for rings in found])
        for shape, found in zip(geometries, polygons, strict=True)
    ]


def _ring(ring: Ring) -> str:
    return f"[{', '.join([_VERTEX] * len(ring)) % tuple(ring.ravel().tolist())}]"


def _shape(shape: Any, polygons: list[str]) -> str:
    if shape is None:
        return "null"
    if shape.geom_type == "MultiPolygon":
        return f'{{"type": "MultiPolygon", "coordinates": [{", ".join(polygons)}]}}'
    if shape.geom_type == "Polygon":
        return f'{{"type": "Polygon", "coordinates": {polygons[0] if polygons else "[]"}}}'
    rounded = shapely.transform(shape, lambda positions: np.round(positions, COORDINATE_DECIMALS))
    return json.dumps(shapely.geometry.mapping(rounded))
