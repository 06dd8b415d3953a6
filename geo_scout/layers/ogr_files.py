"""Vector files that OGR reads: opened with their layer, read column by column."""

import warnings
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
import pyogrio
import pyogrio.raw
import shapely
from numpy.typing import NDArray
from pyogrio.errors import DataLayerError, DataSourceError, FieldError, GeometryError

from geo_scout.layers.drafts import Why
from geo_scout.layers.noticed import LayerRefused, first_words
from geo_scout.layers.reference_systems import crs_of_file
from geo_scout.layers.sources import Cells, Fault, Remark, Source
from geo_scout.layers.wording import did_you_mean, listed
from geo_scout.model.season import LayerTable

BROKEN = Why("geometry-broken", "broken geometry", "Draw the feature again, or take the row out.")
_NOT_READABLE = (DataSourceError, DataLayerError, FieldError, GeometryError, UnicodeDecodeError, OSError)
_Result = TypeVar("_Result")


def open_ogr(path: Path, table: LayerTable) -> Source:
    """Return an opened OGR source.

    Raises
    ------
    LayerRefused
        OGR cannot read the file, or it has no layer of the name that was given.
    """
    remarks: list[Remark] = []
    layer = _layer_name(path, table, remarks)
    info = _told(lambda: pyogrio.read_info(path, layer=layer), path, table, remarks)
    names = tuple(str(name) for name in info["fields"])
    dated = {name for name, kind in zip(names, info["dtypes"], strict=True) if "datetime" in str(kind)}
    has_geometry = info["geometry_type"] is not None

    def read(columns: Sequence[str]) -> Cells:
        return _told(lambda: _read_cells(path, layer, columns, has_geometry), path, table, remarks)

    return Source(
        column_names=names,
        crs=crs_of_file(info["crs"]),
        has_geometry=has_geometry,
        read=read,
        date_columns=frozenset(dated),
        short_names=path.suffix.lower() == ".shp",
        remarks=remarks,
    )


def _layer_name(path: Path, table: LayerTable, remarks: list[Remark]) -> str:
    layers = _told(lambda: pyogrio.list_layers(path), path, table, remarks)
    names = [str(name) for name, _ in layers]
    if table.layer is not None:
        if table.layer in names:
            return table.layer
        what = f"'{table.path}' has no layer '{table.layer}'; its layers are {listed(names)}."
        fix = f"Give one of them as `layer`.{did_you_mean(table.layer, names)}"
        raise LayerRefused(what, code="layer-not-found", fix=fix)
    if not names:
        what = f"'{table.path}' holds no layer."
        raise LayerRefused(what, code="layer-not-found", fix="Give a file with a vector layer in it.")
    with_shapes = [str(name) for name, shape in layers if shape is not None]
    chosen = (with_shapes or names)[0]
    if len(names) > 1:
        what = (
            f"'{table.path}' has {len(names)} layers ({listed(names)}); '{chosen}' is the first and was read."
        )
        remarks.append(("layer-chosen", "note", what, f'To be sure of it, add: layer = "{chosen}"'))
    return chosen


def _read_cells(path: Path, layer: str, columns: Sequence[str], has_geometry: bool) -> Cells:
    # The raw reader hands over arrays without building a table: one pass, and only the columns in use.
    meta, _, shapes, values = pyogrio.raw.read(
        path,
        layer=layer,
        columns=list(dict.fromkeys(columns)),
        read_geometry=has_geometry,
        force_2d=True,
        datetime_as_string=True,
    )
    cells: dict[str, Any] = dict(zip((str(name) for name in meta["fields"]), values, strict=True))
    if not has_geometry:
        return Cells(cells, None)
    geometry: NDArray[np.object_] = np.asarray(shapely.from_wkb(shapes, on_invalid="ignore"), dtype=object)
    broken = np.asarray(shapely.is_missing(geometry)) & np.array(
        [shape is not None for shape in shapes], dtype=bool
    )
    what = ("its geometry is stored but cannot be read (an open or too short ring, for instance).",)
    return Cells(cells, geometry, (Fault(broken, BROKEN, what * int(broken.sum())),))


def _told(read: Callable[[], _Result], path: Path, table: LayerTable, remarks: list[Remark]) -> _Result:
    """Run a reading step; what the library warns of becomes notes, what it refuses becomes a refusal."""
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        try:
            result = read()
        except _NOT_READABLE as error:
            what = f"'{table.path}' cannot be read as a vector layer: {first_words(error, path, table.path)}"
            fix = "Open it in your GIS and save it anew, for instance as GeoPackage."
            raise LayerRefused(what, code="file-unreadable", fix=fix) from error
    for warning in caught:
        what = f'the file reader said: "{first_words(warning.message, path, table.path)}"'
        remark: Remark = ("reader-said", "note", what, "Nothing, if the layer looks right on the map.")
        if remark not in remarks:
            remarks.append(remark)
    return result
