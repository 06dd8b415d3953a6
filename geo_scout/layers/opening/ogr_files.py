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
from geo_scout.layers.opening.gdal_settings import read_layer_names, reading_options
from geo_scout.layers.opening.geojson_systems import GEOJSON_SUFFIXES, read_unknown_system
from geo_scout.layers.opening.impossible_dates import read_with_dates_as_text
from geo_scout.layers.opening.sources import Cells, Fault, Remark, Source
from geo_scout.layers.opening.unreadable import read_why_unreadable
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.layers.wording import nearest_name
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

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
    if suffix in GEOJSON_SUFFIXES and Path(place).is_file():
        read_unknown_system(Path(place), table, remarks)
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


def choose_layer(place: Place, table: LayerTable, remarks: list[Remark], *, noun: str = "layer") -> str:
    """Return the name of the layer or sheet (``noun``) to read: the one stated, or the first, which is said.

    Raises
    ------
    LayerRefused
        There is no layer of the name that was given, or none at all.
    """
    layers = told(lambda: read_layer_names(place), place, table, remarks)
    names = [str(name) for name, _ in layers]
    if not names:
        what = f"'{table.path}' holds no {noun}."
        raise LayerRefused(what, code="layer-not-found", fix="Give a file that has a layer in it.")
    if table.layer is not None:
        if table.layer in names:
            return table.layer
        what = f"'{table.path}' has no {noun} '{table.layer}'; its {noun}s are {listed(names)}."
        near = nearest_name(table.layer, names)
        question = f"Did you mean '{near}'? Then write" if near else "Write one of them, for instance"
        fix = f'{question}: layer = "{near or names[0]}"'
        raise LayerRefused(what, code="layer-not-found", fix=fix)
    with_shapes = [str(name) for name, shape in layers if shape is not None] or names
    if len(names) == 1:
        return names[0]
    chosen, which = with_shapes[0], "the first"
    if str(place).casefold().endswith(".gpx"):
        # Every GPX file has the same five layers; most of them are empty.
        chosen = next((name for name in with_shapes if _holds_features(place, name)), chosen)
        which = "the first that holds anything"
    what = f"'{table.path}' has {len(names)} {noun}s ({listed(names)}); '{chosen}' is {which} and was read."
    other = next(name for name in names if name != chosen)
    fix = f'To be sure of it, add: layer = "{chosen}"; if another is meant, for instance: layer = "{other}"'
    remarks.append(("layer-chosen", "note", what, fix))
    return chosen


def _holds_features(place: Place, layer: str) -> bool:
    return bool(pyogrio.read_info(place, layer=layer, force_feature_count=True)["features"])


def _read_cells(
    place: Place, layer: str | None, columns: Sequence[str] | None, encoding: str | None
) -> tuple[dict[str, Any], Cells]:
    # The raw reader hands over arrays without building a table: one pass, and only the columns in use.
    wanted = None if columns is None else list(dict.fromkeys(columns))
    options: dict[str, Any] = {"encoding": encoding, "force_2d": True, "datetime_as_string": True}
    options |= reading_options(place)
    try:
        meta, _, shapes, values = pyogrio.raw.read(place, layer=layer, columns=wanted, **options)
    except IndexError as error:
        # The reader takes the first layer without looking whether there is one.
        message = "it holds no layer"
        raise DataLayerError(message) from error
    except UnicodeDecodeError:
        raise
    except ValueError:
        # It turns dates into days, which 30 February has not; as text they are read, and told.
        meta, shapes, values = read_with_dates_as_text(place, layer, wanted, options)
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
            raise read_why_unreadable(error, place, table) from error
    for warning in caught:
        what = f'the file reader said: "{first_words(warning.message, place, table.path)}"'
        remark: Remark = ("reader-said", "note", what, "Nothing, if the layer looks right on the map.")
        if remark not in remarks:
            remarks.append(remark)
    return result
