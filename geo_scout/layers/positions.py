"""Tables without shapes: points made from a longitude and a latitude column."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely
from pyproj import CRS

from geo_scout.layers.drafts import Why
from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.sources import Cells, Fault, Remark, Source, Values
from geo_scout.layers.text_values import as_numbers, as_texts
from geo_scout.layers.wording import did_you_mean, folded, listed
from geo_scout.model.columns import POSITION_COLUMNS
from geo_scout.model.season import LayerTable

POSITION_NAMES = tuple(column.name for column in POSITION_COLUMNS)
NO_POSITION = Why(
    "position-unreadable", "unreadable position", "Write both as decimal degrees, for instance -109.61."
)


@dataclass(frozen=True)
class PositionColumns:
    """The file's columns that hold the position, and the reference system they are in."""

    longitude: str
    latitude: str
    crs: CRS | None


def match_positions(source: Source, table: LayerTable) -> PositionColumns:
    """Return the columns that hold the position of each row.

    The reference system is EPSG:4326 where the file itself calls its columns ``longitude_deg`` and
    ``latitude_deg`` and the season states none; otherwise the season must state it.

    Raises
    ------
    LayerRefused
        The file has no such columns.
    """
    by_folded = {folded(name): name for name in source.column_names}
    chosen = [by_folded.get(folded(table.columns.get(ours, ours)), "") for ours in POSITION_NAMES]
    if not all(chosen):
        missing = [ours for ours, name in zip(POSITION_NAMES, chosen, strict=True) if not name]
        what = (
            f"'{table.path}' has no shapes and no column for {' and '.join(missing)}; its columns are "
            f"{listed(source.column_names)}."
        )
        fix = 'Name both under `columns`: columns = {longitude_deg = "YOURS", latitude_deg = "YOURS"}'
        suggestion = did_you_mean(missing[0].removesuffix("_deg"), source.column_names)
        raise LayerRefused(what, code="position-columns-missing", fix=f"{fix}{suggestion}")
    named_as_ours = tuple(folded(name) for name in chosen) == POSITION_NAMES
    is_assumed = named_as_ours and table.crs is None
    if is_assumed:
        source.remarks.append(_assumed())
    return PositionColumns(chosen[0], chosen[1], CRS.from_epsg(4326) if is_assumed else None)


def with_points(cells: Cells, at: PositionColumns) -> Cells:
    """Return the cells with a point for each row; rows without a readable position are faults."""
    longitude, bad_longitude = as_numbers(cells.columns[at.longitude])
    latitude, bad_latitude = as_numbers(cells.columns[at.latitude])
    # A blank position is no fault of the text: it has no geometry, like a blank shape.
    is_blank = np.isnan(longitude) & np.isnan(latitude) & ~bad_longitude & ~bad_latitude
    unreadable = (np.isnan(longitude) | np.isnan(latitude)) & ~is_blank
    for fault in cells.faults:
        unreadable &= ~fault.rows
    geometry = np.full(len(longitude), None, dtype=object)
    known = ~(np.isnan(longitude) | np.isnan(latitude))
    geometry[known] = shapely.points(longitude[known], latitude[known])
    fault = Fault(unreadable, NO_POSITION, _sentences(cells.columns, at, unreadable))
    return replace(cells, geometry=geometry, faults=(*cells.faults, fault))


def _sentences(columns: Mapping[str, Values], at: PositionColumns, rows: Values) -> tuple[str, ...]:
    pairs = zip(as_texts(columns[at.longitude][rows]), as_texts(columns[at.latitude][rows]), strict=True)
    return tuple(f"longitude '{east}' and latitude '{north}' are not both numbers." for east, north in pairs)


def _assumed() -> Remark:
    what = "the columns longitude_deg and latitude_deg were read as WGS 84 degrees (EPSG:4326)."
    return ("crs-assumed", "note", what, 'If they are in another system, state it: crs = "EPSG:..."')
