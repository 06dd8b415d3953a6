"""Tables without shapes: points made from the columns that say where each row is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Geod

from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma, say_commas
from geo_scout.layers.cells.likely_columns import likely_name
from geo_scout.layers.cells.text_values import Texts, as_texts
from geo_scout.layers.drafts import Why
from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.opening.sources import Cells, Fault, Remark, Source
from geo_scout.layers.places.angles import Axis, read_angles
from geo_scout.layers.places.grid_references import read_grid_references
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.layers.places.utm_positions import other_zones, read_utm
from geo_scout.model.columns import POSITION_COLUMNS
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

FloatArray = NDArray[np.float64]
Way = Literal["degrees", "utm", "plane", "grid"]
Read = tuple[FloatArray, FloatArray, dict[str, Texts], FloatArray | None]
SAME_PLACE_M = 100.0
"""Two positions of one row nearer than this are the same place: tables round, and datums differ."""

POSITION_NAMES = tuple(column.name for column in POSITION_COLUMNS)
WAYS: dict[Way, tuple[str, ...]] = {
    "degrees": ("longitude_deg", "latitude_deg"),
    "utm": ("easting_m", "northing_m", "utm_zone"),
    "plane": ("easting_m", "northing_m"),
    "grid": ("grid_reference",),
}
"""The ways to say where a row is, by the columns of ours each one takes."""

_FIXES: dict[Way, str] = {
    "degrees": "Write both as degrees, for instance -109.61, or 109°36'36\"W.",
    "utm": "Write metres, and the zone with its hemisphere: 12 north or 12 south.",
    "plane": "Write both as plain numbers in the unit of the layer's crs.",
    "grid": "Write zone, square and digits: 12T VT 12345 67890.",
}


@dataclass(frozen=True)
class PositionColumns:
    """The file's columns that say where each row is.

    Parameters
    ----------
    way
        How they say it.
    columns
        Our names -> the file's names.
    crs
        The reference system where it needs no stating.
    others
        Columns that say it once more, in another way.
    """

    way: Way
    columns: Mapping[str, str]
    crs: CRS | None
    others: tuple["PositionColumns", ...] = ()

    def names(self) -> list[str]:
        """Return every column of the file that is needed."""
        return [name for at in (self, *self.others) for name in at.columns.values()]


def match_positions(source: Source, table: LayerTable) -> PositionColumns:
    """Return the columns that hold the position of each row.

    Columns the season names go before those that carry our names, degrees before a grid; the rest is kept
    to be compared. The reference system is EPSG:4326 where the file itself calls its columns as we do and
    the season states none, and for grid references; otherwise the season must state it.

    Raises
    ------
    LayerRefused
        The file has no such columns.
    """
    found = _found(source, table)
    ways = _ways(found, table)
    if not ways:
        raise _missing(found, source, table)
    chosen, *others = (_columns(way, found, table) for way in ways)
    if chosen.crs is not None:
        source.remarks.append(_assumed(chosen.columns))
    comparable = tuple(at for at in others if at.way != "plane")
    if others:
        source.remarks.append(_chosen(chosen, others, compared=bool(comparable)))
    return replace(chosen, others=comparable)


def says_where(source: Source, table: LayerTable) -> bool:
    """Return whether the season or the file names any column that is part of a position."""
    return any(_found(source, table).values()) or any(name in table.columns for name in POSITION_NAMES)


def with_points(
    cells: Cells, at: PositionColumns, crs: CRS | None, table: LayerTable, noticed: Noticed
) -> Cells:
    """Return the cells with a point for each row; rows whose position cannot be read are faults.

    Parameters
    ----------
    cells
        What was read, with the position columns in it.
    at
        Which columns those are.
    crs
        The layer's reference system; without one every row stays without a point.
    table, noticed
        The layer's settings, and where findings about a whole column go.
    """
    texts = {ours: as_texts(cells.columns[theirs]) for ours, theirs in at.columns.items()}
    number = len(next(iter(texts.values())))
    geometry = np.full(number, None, dtype=object)
    if crs is None:
        return replace(cells, geometry=geometry)
    easting, northing, problems, error_m = _read(cells, at, crs, table, noticed)
    # A blank position is no fault of the text: it has no geometry, like a blank shape.
    is_blank = np.all([column == "" for column in texts.values()], axis=0)
    known = ~(np.isnan(easting) | np.isnan(northing))
    unreadable = ~known & ~is_blank
    for fault in cells.faults:
        unreadable &= ~fault.rows
    geometry[known] = shapely.points(easting[known], northing[known])
    sentences = tuple(_sentence(texts, problems, row) for row in np.flatnonzero(unreadable).tolist())
    why = Why("position-unreadable", "unreadable position", _FIXES[at.way])
    faults = [*cells.faults, Fault(unreadable, why, sentences)]
    geod = crs.get_geod()
    if geod is not None and crs.is_geographic:
        for other in at.others:
            there = _read(cells, other, crs, table, noticed)
            faults.append(_contradiction(at, other, (easting, northing), there, geod))
    return replace(cells, geometry=geometry, faults=tuple(faults), error_m=error_m)


def _found(source: Source, table: LayerTable) -> dict[str, str]:
    by_folded = {folded(name): name for name in source.column_names}
    return {ours: by_folded.get(folded(table.columns.get(ours, ours)), "") for ours in POSITION_NAMES}


def _ways(found: Mapping[str, str], table: LayerTable) -> list[Way]:
    """Return the ways the file says where its rows are, the one to be read first."""
    whole: list[Way] = [way for way, names in WAYS.items() if all(found[ours] for ours in names)]
    if "utm" in whole:
        whole.remove("plane")
    named = [way for way in whole if any(ours in table.columns for ours in WAYS[way])]
    stated = crs_of_file(table.crs) if table.crs is not None else None
    if stated is None or named:
        return named or whole
    fits_plane = {"plane", "utm"} if stated.is_projected else {"degrees", "utm", "grid"}
    return [way for way in whole if way in fits_plane] or whole


def _columns(way: Way, found: Mapping[str, str], table: LayerTable) -> PositionColumns:
    columns = {ours: found[ours] for ours in WAYS[way]}
    named_as_ours = all(folded(theirs) == ours for ours, theirs in columns.items())
    is_assumed = table.crs is None and way != "plane" and (named_as_ours or way == "grid")
    return PositionColumns(way, columns, CRS.from_epsg(4326) if is_assumed else None)


def _missing(found: Mapping[str, str], source: Source, table: LayerTable) -> LayerRefused:
    tried = max(WAYS, key=lambda way: sum(bool(found[ours]) for ours in WAYS[way]) / len(WAYS[way]))
    missing = [ours for ours in WAYS[tried] if not found[ours]]
    what = (
        f"'{table.path}' has no shapes and no column for {' and '.join(missing)}; its columns are "
        f"{listed(source.column_names)}."
    )
    free = [name for name in source.column_names if name not in found.values()]
    near = {ours: found[ours] or likely_name(ours, free, "") for ours in WAYS[tried]}
    pairs = ", ".join(f'{ours} = "{theirs or "YOURS"}"' for ours, theirs in near.items())
    others = (
        "; easting_m, northing_m and utm_zone, or grid_reference, do as well" if tried == "degrees" else ""
    )
    question = "Did you mean these? Then write" if all(near.values()) else "Name them under `columns`"
    fix = f"{question}: columns = {{{pairs}}}{others}."
    return LayerRefused(what, code="position-columns-missing", fix=fix)


def _read(cells: Cells, at: PositionColumns, crs: CRS, table: LayerTable, noticed: Noticed) -> Read:
    """Return coordinates in the layer's system, problems by our column name, and errors if any."""
    columns = {ours: cells.columns[theirs] for ours, theirs in at.columns.items()}
    if at.way == "degrees":
        axes: tuple[Axis, Axis] = ("longitude", "latitude")
        read = {axis: read_angles(columns[f"{axis}_deg"], axis) for axis in axes}
        problems = {f"{axis}_deg": read[axis][1] for axis in axes}
        return read["longitude"][0], read["latitude"][0], problems, None
    if at.way == "grid":
        east, north, error_m, doubts = read_grid_references(as_texts(columns["grid_reference"]), crs)
        return east, north, {"grid_reference": doubts}, error_m
    metres, problems = [], {}
    for ours in ("easting_m", "northing_m"):
        values, unreadable, comma = as_numbers_with_comma(columns[ours], table.decimal_comma)
        say_commas(noticed, ours, comma)
        metres.append(values)
        problems[ours] = np.where(unreadable, "is not a number", "").astype(object)
    if at.way == "plane":
        return metres[0], metres[1], problems, None
    zones = as_texts(columns["utm_zone"])
    if crs.is_projected:
        doubts = other_zones(zones, metres[1], crs)
        east, north = (np.where(doubts == "", values, np.nan) for values in metres)
    else:
        east, north, doubts = read_utm(metres[0], metres[1], zones, crs)
    is_blank = np.isnan(metres[0]) | np.isnan(metres[1])
    return east, north, {**problems, "utm_zone": np.where(is_blank, "", doubts).astype(object)}, None


def _sentence(texts: Mapping[str, Texts], problems: Mapping[str, Texts], row: int) -> str:
    """Return what is wrong with a row's position: each column that has a problem, or is blank."""
    wrong = [
        f"{ours} '{column[row]}' {problems[ours][row]}" if column[row] else f"{ours} is blank"
        for ours, column in texts.items()
        if problems[ours][row] or not column[row]
    ]
    return f"{' and '.join(wrong)}."


def _contradiction(
    at: PositionColumns, other: PositionColumns, here: tuple[FloatArray, FloatArray], there: Read, geod: Geod
) -> Fault:
    """Return the rows whose two positions are not the same place, to the room that rounding takes."""
    longitude, latitude, _, error_m = there
    _, _, apart_m = geod.inv(*here, longitude, latitude)
    room_m = SAME_PLACE_M + (0.0 if error_m is None else np.nan_to_num(error_m))
    rows = np.isfinite(apart_m) & (apart_m > room_m)
    one, two = (" and ".join(columns.columns.values()) for columns in (at, other))
    what = tuple(f"{one} and {two} are {apart:,.0f} m apart." for apart in apart_m[rows])
    fix = "Correct one of the two, or take its columns out of the file."
    return Fault(rows, Why("positions-contradict", "two positions that differ", fix), what)


def _chosen(chosen: PositionColumns, others: Sequence[PositionColumns], *, compared: bool) -> Remark:
    sets = listed([" and ".join(at.columns.values()) for at in others])
    compare = "; the two were compared" if compared else ""
    what = f"positions were read from {' and '.join(chosen.columns.values())}, not from {sets}{compare}."
    pairs = ", ".join(f'{ours} = "{theirs}"' for ours, theirs in chosen.columns.items())
    fix = f"To be sure of it, name the one to be read: columns = {{{pairs}}}"
    return ("position-columns-many", "note", what, fix)


def _assumed(columns: Mapping[str, str]) -> Remark:
    names = list(columns.values())
    shown = (
        f"columns {', '.join(names[:-1])} and {names[-1]} were"
        if len(names) > 1
        else f"column {names[0]} was"
    )
    kind = "degrees (EPSG:4326)" if "longitude_deg" in columns else "positions (the datum of EPSG:4326)"
    what = f"the {shown} read as WGS 84 {kind}."
    return ("crs-assumed", "note", what, 'If they are in another system, state it: crs = "EPSG:..."')
