"""A few thousand rows of each table of a vector file, described."""

import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import pyogrio.raw
import shapely
from numpy.typing import NDArray
from pyproj import CRS
from pyproj.exceptions import ProjError
from shapely import GeometryType

from geo_scout.formulas.geodesy import working_crs
from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.inspect.columns_found import describe_column
from geo_scout.layers.opening.archives import ARCHIVE_SUFFIXES, find_in_archive
from geo_scout.layers.opening.gdal_settings import read_layer_names, reading_options
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.model.draft import Bounds, FoundVector, Shapes
from geo_scout.model.layer_table import LayerTable

ROWS_AT_MOST = 20_000
_KINDS: dict[str, tuple[int, ...]] = {
    "points": (GeometryType.POINT, GeometryType.MULTIPOINT),
    "lines": (GeometryType.LINESTRING, GeometryType.LINEARRING, GeometryType.MULTILINESTRING),
    "polygons": (GeometryType.POLYGON, GeometryType.MULTIPOLYGON),
}


def read_vector_file(path: Path) -> Iterator[FoundVector]:
    """Yield each table of a file that holds rows, with the first 20,000 of them looked at.

    Parameters
    ----------
    path
        The file.

    Raises
    ------
    LayerRefused, pyogrio.errors.DataSourceError, OSError, ValueError
        The file cannot be read as a vector layer.
    """
    place: Path | str = path
    if path.suffix.casefold() in ARCHIVE_SUFFIXES:
        place = find_in_archive(path, LayerTable(path=path.name), [])
    layers = [str(name) for name, _ in read_layer_names(place)]
    for layer in layers:
        meta, _, wkb, cells = pyogrio.raw.read(
            place,
            layer=layer,
            max_features=ROWS_AT_MOST,
            force_2d=True,
            datetime_as_string=True,
            **reading_options(place),
        )
        number = len(cells[0]) if cells else (0 if wkb is None else len(wkb))
        if not number:
            continue
        info = pyogrio.read_info(place, layer=layer, **reading_options(place))
        dated = {
            str(name)
            for name, kind in zip(info["fields"], info["dtypes"], strict=True)
            if "datetime" in str(kind)
        }
        names = [str(name) for name in meta["fields"]]
        columns = tuple(
            describe_column(name, values, is_typed_date=name in dated)
            for name, values in zip(names, cells, strict=True)
        )
        crs = crs_of_file(meta["crs"])
        yield FoundVector(
            path=path,
            layer=layer if len(layers) > 1 else "",
            rows=number if number < ROWS_AT_MOST else _rows(info),
            crs=crs_words(crs),
            columns=columns,
            **_shapes_found(wkb, crs),
        )


def crs_words(crs: CRS | None) -> str:
    """Return the code of a reference system, its name where it has no code, empty for none.

    Examples
    --------
    >>> crs_words(CRS.from_epsg(32612))
    'EPSG:32612'
    """
    if crs is None:
        return ""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        code = crs.to_epsg()
    return f"EPSG:{code}" if code else crs.name


def _rows(info: dict[str, Any]) -> int | None:
    features = int(info["features"])
    return features if features >= ROWS_AT_MOST else None


def _shapes_found(wkb: NDArray[Any] | None, crs: CRS | None) -> dict[str, Any]:
    if wkb is None:
        return {"shapes": "no shapes", "bounds": None}
    shapes = np.asarray(shapely.from_wkb(wkb, on_invalid="ignore"), dtype=object)
    kinds = shapely.get_type_id(shapes)
    if (kinds < 0).all():
        return {"shapes": "no shapes", "bounds": None}
    total = shapely.total_bounds(shapes[kinds >= 0])
    bounds: Bounds = (float(total[0]), float(total[1]), float(total[2]), float(total[3]))
    middles, areas = _placed(shapes, crs)
    return {
        "shapes": _shape_words(kinds),
        "bounds": bounds if np.isfinite(bounds).all() else None,
        "points": int(np.isin(kinds, _KINDS["points"]).sum()),
        "middles_deg": middles,
        "area_m2": areas,
    }


def _shape_words(kinds: NDArray[Any]) -> Shapes:
    present = {words for words, ids in _KINDS.items() if np.isin(kinds, ids).any()}
    others = set(kinds[kinds >= 0].tolist()) - {one for ids in _KINDS.values() for one in ids}
    if others or not present:
        return "mixed shapes"
    if present == {"polygons", "points"}:
        return "polygons and points"
    if len(present) > 1:
        return "mixed shapes"
    words: Shapes = "points" if "points" in present else "lines" if "lines" in present else "polygons"
    return words


def _placed(
    shapes: NDArray[np.object_], crs: CRS | None
) -> tuple[tuple[tuple[float, float], ...], tuple[float, ...]]:
    """Return the middle of each shape in degrees and its area; both empty where nobody can know."""
    if crs is None:
        return (), ()
    to_degrees = transformer_between(crs, CRS.from_epsg(4326))

    def moved(points: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(to_degrees.transform(points[:, 0], points[:, 1]))

    try:
        placed = shapely.transform(shapes, moved)
    except ProjError:
        return (), ()
    box = shapely.bounds(placed)
    middles = np.column_stack([(box[:, 0] + box[:, 2]) / 2.0, (box[:, 1] + box[:, 3]) / 2.0])
    # Swapped axes give latitudes that are none; a check says so, and no plane has them.
    known = np.isfinite(middles).all(axis=1) & (np.abs(middles[:, 1]) <= 90.0)
    area_m2 = np.zeros(len(shapes))
    if known.any():
        area_m2 = _areas_m2(placed, middles[known])
    pairs = tuple((float(east), float(north)) for east, north in middles)
    return pairs, tuple(float(area) if np.isfinite(area) else 0.0 for area in area_m2)


def _areas_m2(placed: NDArray[np.object_], middles_deg: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the area of each shape in degrees, on the equal-area plane a run would use [m2]."""
    plane = working_crs(middles_deg[:, 0], middles_deg[:, 1])
    to_plane = transformer_between(CRS.from_epsg(4326), plane)

    def moved(points: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(to_plane.transform(points[:, 0], points[:, 1]))

    return np.asarray(shapely.area(shapely.transform(placed, moved)), dtype=np.float64)
