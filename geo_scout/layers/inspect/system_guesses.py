"""Coordinate reference systems: a question where a file states none, with the systems that would fit."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from pyproj import CRS
from pyproj.exceptions import CRSError, ProjError

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.inspect.cell_tests import number_words
from geo_scout.layers.inspect.columns_guessed import position_of
from geo_scout.layers.inspect.names import words_of
from geo_scout.model.draft import BLANK, Bounds, FoundVector, LayerGuess, SettingGuess
from geo_scout.model.folded import folded

DEGREES = "EPSG:4326"
_NEAR_DEG = 1.5
_DATUM_NAMES = (("geodetic", "datum"), ("datum",), ("horizontal", "datum"), ("coordinate", "datum"))
_DATUMS = {
    "wgs84": DEGREES, "wgs1984": DEGREES, "epsg4326": DEGREES, "4326": DEGREES,
    "nad83": "EPSG:4269", "epsg4269": "EPSG:4269", "4269": "EPSG:4269",
    "nad27": "EPSG:4267", "epsg4267": "EPSG:4267", "4267": "EPSG:4267",
}  # fmt: skip


def guess_system(
    layer: LayerGuess, systems: Sequence[str], middle_deg: tuple[float, float] | None
) -> Iterator[SettingGuess]:
    """Yield ``crs`` where the file states none and it has to be stated.

    Parameters
    ----------
    layer
        The layer.
    systems
        Systems that other files state.
    middle_deg
        Longitude and latitude about which the placed layers lie; None where none is placed [deg].
    """
    found = layer.vector
    if found is None or found.crs:
        return
    if found.shapes != "no shapes":
        yield _ask_system(found, found.bounds, systems, middle_deg)
        return
    columns = {guess.ours: guess.theirs for guess in layer.columns}
    way = position_of(columns)
    has_our_names = all(folded(columns[ours]) == ours for ours in way)
    stated = _stated_datum(found) if "longitude_deg" in way else None
    if stated is not None:
        if stated.value != DEGREES or not has_our_names:
            yield stated
        return
    if way == ("easting_m", "northing_m"):
        yield _ask_system(found, _bounds(layer), systems, middle_deg)
    elif way and way != ("grid_reference",) and not has_our_names:
        names = " and ".join(f"'{columns[ours]}'" for ours in way)
        kind = "degrees" if "longitude_deg" in way else "metres of a UTM zone"
        question = (
            f"Are the {kind} in {names} WGS 84, as receivers give them? If not, write the system's code."
        )
        yield SettingGuess("crs", DEGREES, f"{names} hold {kind}", question)


def _stated_datum(found: FoundVector) -> SettingGuess | None:
    """Return the system that a column of the table states for every row; None where none does so plainly."""
    for column in found.columns:
        if words_of(column.name) in _DATUM_NAMES and len(column.counts) == 1:
            written = next(iter(column.counts))
            code = _DATUMS.get("".join(words_of(written)), "")
            if code:
                return SettingGuess("crs", code, f"'{column.name}' says '{written}' in every row")
    return None


def fitting_systems(
    bounds: Bounds, systems: Iterable[str], middle_deg: tuple[float, float] | None
) -> list[str]:
    """Return the systems in which numbers like these lie beside the other layers.

    Examples
    --------
    >>> box = (441_000.0, 5_216_000.0, 465_000.0, 5_235_000.0)
    >>> fitting_systems(box, ["EPSG:4326", "EPSG:32612", "EPSG:2100"], (-111.6, 47.2))
    ['EPSG:32612']
    """
    if middle_deg is None:
        return []
    east, north = (bounds[0] + bounds[2]) / 2.0, (bounds[1] + bounds[3]) / 2.0
    fitting = []
    for system in dict.fromkeys(systems):
        try:
            place = transformer_between(CRS.from_user_input(system), 4326).transform(east, north)
        except (CRSError, ProjError):
            continue
        apart = np.abs(np.subtract(place, middle_deg))
        if np.isfinite(place).all() and (apart < _NEAR_DEG).all():
            fitting.append(system)
    return fitting


def _ask_system(
    found: FoundVector, bounds: Bounds | None, systems: Sequence[str], middle_deg: tuple[float, float] | None
) -> SettingGuess:
    seen = "it states no reference system"
    if bounds is None:
        question = f"In which coordinate reference system is {found.path.name}? It states none."
        return SettingGuess("crs", BLANK, seen, question, is_needed=True)
    west, south, east, north = bounds
    numbers = (
        f"its numbers run from {number_words(west)} to {number_words(east)} (east) and from "
        f"{number_words(south)} to {number_words(north)} (north)"
    )
    in_degrees = west >= -180.0 and east <= 360.0 and south >= -90.0 and north <= 90.0
    hint = " They look like degrees." if in_degrees else ""
    fitting = fitting_systems(bounds, (DEGREES, *systems), middle_deg) or ([DEGREES] if in_degrees else [])
    question = (
        f"In which coordinate reference system is {found.path.name}? It states none; {numbers}.{hint} Ask "
        f"whoever made it."
    )
    choices = tuple(
        f"{system} (would lie beside the other layers)" if middle_deg else system for system in fitting
    )
    return SettingGuess("crs", BLANK, f"{seen}; {numbers}", question, choices, is_needed=True)


def _bounds(layer: LayerGuess) -> Bounds | None:
    east, north = layer.matched("easting_m"), layer.matched("northing_m")
    if east is None or north is None:
        return None
    return (east.least, north.least, east.most, north.most)
