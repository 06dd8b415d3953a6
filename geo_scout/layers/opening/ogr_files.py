"""Vector files that OGR reads: opened with their layer, read column by column."""

import warnings
from collections.abc import Callable, Sequence
from pathlib import Path, PurePosixPath
from typing import Any, TypeVar

import numpy as np
import pyogrio
import pyogrio.raw
import shapely
from numpy.typing import NDArray
from pyogrio.errors import DataLayerError, DataSourceError, FieldError, GeometryError

from geo_scout.layers.drafts import Why
from geo_scout.layers.noticed import LayerRefused, first_words
from geo_scout.layers.opening.encodings import refuse_encoding, say_encoding, stated_encoding
from geo_scout.layers.opening.sources import Cells, Fault, Remark, Source
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.layers.wording import did_you_mean, listed
from geo_scout.model.season import LayerTable

BROKEN = Why("geometry-broken", "broken geometry", "Draw the feature again, or take the row out.")
_NOT_READABLE = (DataSourceError, DataLayerError, FieldError, GeometryError, OSError)
# Files that tell their columns without being read from end to end. The others are read once, whole:
# asking a GeoJSON file for its columns first would cost as much as reading it.
_TELL_FIRST = frozenset({".gpkg", ".shp", ".fgb", ".gdb", ".sqlite", ".tab", ".dbf"})
_SEVERAL = "More than one layer found"
_DATES = frozenset({"OFTDate", "OFTDateTime"})
_Result = TypeVar("_Result")
Place = Path | str


def open_ogr(place: Place, table: LayerTable, remarks: list[Remark]) -> Source:
    """Return an opened OGR source.

    Parameters
    ----------
    place
        The file, or where it is inside a zip file.
    table
        The layer's settings.
    remarks
        What was noticed so far; more is added.

    Raises
    ------
    LayerRefused
        OGR cannot read the file, or it has no layer of the name that was given.
    """
    suffix = PurePosixPath(str(place)).suffix.casefold()
    encoding = stated_encoding(suffix, table, remarks)
    tells_first = suffix in _TELL_FIRST
    layer = choose_layer(place, table, remarks) if tells_first or table.layer is not None else None

    def read_columns(
        columns: Sequence[str] | None, layer: str | None = layer
    ) -> tuple[dict[str, Any], Cells]:
        meta, cells = told(lambda: _read_cells(place, layer, columns, encoding), place, table, remarks)
        say_encoding(meta["encoding"], cells.columns, table, remarks)
        return meta, cells

    if tells_first:
        meta = told(lambda: pyogrio.read_info(place, layer=layer, encoding=encoding), place, table, remarks)
        whole = None
    else:
        meta, whole = read_columns(None)
        if any(_SEVERAL in what for _, _, what, _ in remarks):
            remarks[:] = [remark for remark in remarks if _SEVERAL not in remark[2]]
            meta, whole = read_columns(None, choose_layer(place, table, remarks))
    names = tuple(str(name) for name in meta["fields"])
    kinds = zip(names, meta["ogr_types"], strict=True)
    return Source(
        column_names=names,
        crs=crs_of_file(meta["crs"]),
        has_geometry=meta["geometry_type"] is not None,
        read=lambda columns: whole or read_columns(columns)[1],
        date_columns=frozenset(name for name, kind in kinds if kind in _DATES),
        short_names=suffix == ".shp",
        remarks=remarks,
    )


def choose_layer(place: Place, table: LayerTable, remarks: list[Remark]) -> str:
    """Return the name of the layer or sheet to read: the one stated, or the first, which is said.

    Raises
    ------
    LayerRefused
        There is no layer of the name that was given, or none at all.
    """
    layers = told(lambda: pyogrio.list_layers(place), place, table, remarks)
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
    with_shapes = [str(name) for name, shape in layers if shape is not None] or names
    if len(names) == 1:
        return names[0]
    chosen, which = with_shapes[0], "the first"
    if str(place).casefold().endswith(".gpx"):
        # Every GPX file has the same five layers; most of them are empty.
        chosen = next((name for name in with_shapes if _holds_features(place, name)), chosen)
        which = "the first that holds anything"
    what = f"'{table.path}' has {len(names)} layers ({listed(names)}); '{chosen}' is {which} and was read."
    remarks.append(("layer-chosen", "note", what, f'To be sure of it, add: layer = "{chosen}"'))
    return chosen


def _holds_features(place: Place, layer: str) -> bool:
    return bool(pyogrio.read_info(place, layer=layer, force_feature_count=True)["features"])


def _read_cells(
    place: Place, layer: str | None, columns: Sequence[str] | None, encoding: str | None
) -> tuple[dict[str, Any], Cells]:
    # The raw reader hands over arrays without building a table: one pass, and only the columns in use.
    meta, _, shapes, values = pyogrio.raw.read(
        place,
        layer=layer,
        encoding=encoding,
        columns=None if columns is None else list(dict.fromkeys(columns)),
        force_2d=True,
        datetime_as_string=True,
    )
    cells: dict[str, Any] = dict(zip((str(name) for name in meta["fields"]), values, strict=True))
    if shapes is None:
        return meta, Cells(cells, None)
    geometry: NDArray[np.object_] = np.asarray(shapely.from_wkb(shapes, on_invalid="ignore"), dtype=object)
    missing = np.asarray(shapely.is_missing(geometry), dtype=bool)
    broken = np.zeros(len(geometry), dtype=bool)
    broken[missing] = [shape is not None for shape in shapes[missing]]
    what = ("its geometry is stored but cannot be read (an open or too short ring, for instance).",)
    return meta, Cells(cells, geometry, (Fault(broken, BROKEN, what * int(broken.sum())),))


def told(read: Callable[[], _Result], place: Place, table: LayerTable, remarks: list[Remark]) -> _Result:
    """Run a reading step; what the library warns of becomes notes, what it refuses becomes a refusal.

    Raises
    ------
    LayerRefused
        The library cannot read the file.
    """
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        try:
            result = read()
        except UnicodeDecodeError as error:
            refuse_encoding(error, table)
        except _NOT_READABLE as error:
            what = f"'{table.path}' cannot be read as a vector layer: {first_words(error, place, table.path)}"
            fix = "Open it in your GIS and save it anew, for instance as GeoPackage."
            raise LayerRefused(what, code="file-unreadable", fix=fix) from error
    for warning in caught:
        what = f'the file reader said: "{first_words(warning.message, place, table.path)}"'
        remark: Remark = ("reader-said", "note", what, "Nothing, if the layer looks right on the map.")
        if remark not in remarks:
            remarks.append(remark)
    return result
