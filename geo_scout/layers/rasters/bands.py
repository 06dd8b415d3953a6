"""What each band of a raster holds, and how stored numbers become quantities."""

import math
import re
from collections.abc import Sequence
from pathlib import Path

from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.rasters.band_files import shown
from geo_scout.layers.rasters.band_units import say_other_units, say_stated_twice, to_our_units
from geo_scout.layers.rasters.month_order import refuse_other_order
from geo_scout.layers.rasters.parts import RasterPart
from geo_scout.model.columns import RASTER_LAYERS
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted, listed
from geo_scout.model.quantities import CLIMATE_VARIABLES, EXTREMES
from geo_scout.model.season import Season

# The international foot, exactly.
M_PER_FT = 0.3048
ELEVATIONS = ("elevation", "climate_elevation")
_BIOCLIM = re.compile(r"bio[ _-]?0*([0-9]{1,2})(?![0-9])", re.IGNORECASE)
_WORD = re.compile("[^\\W\\d_]+")
_FEET = frozenset({"ft", "feet", "foot", "us-ft", "us survey foot", "us_survey_foot"})


def band_names(name: str, parts: tuple[RasterPart, ...], table: LayerTable) -> tuple[str, ...]:
    """Return the quantity of each band of all files.

    Raises
    ------
    LayerRefused
        The number of bands does not fit, months stand in another order, or the bands of ``bioclim`` or
        ``extremes`` are not named.
    """
    count = sum(part.count for part in parts)
    if name == "bioclim":
        return _bioclim_names(parts, table, count)
    if name == "extremes":
        return _extreme_names(parts, table, count)
    kind = RASTER_LAYERS[name]
    if count != kind.bands:
        expected = "1 band" if kind.bands == 1 else f"{kind.bands} bands, January to December"
        what = f"{_files(parts)} has {counted(count, 'band')}; {name} needs {expected}."
        fix = f"Give one file with {expected}."
        other = next((part for part in parts if part.count != 1), None)
        if other is not None and len(parts) > 1:
            bands = counted(other.count, "band")
            what = f"'{other.file.written}' has {bands}; each of {len(parts)} files needs one."
            fix = "Give files with one band each, or one file with all."
        raise LayerRefused(what, code="band-count", fix=fix)
    if kind.bands == 1:
        return (f"{name}_m",)
    refuse_other_order(parts)
    return tuple(f"{name}_{month:02d}_{kind.unit}" for month in range(1, 13))


def scales_and_offsets(
    noticed: Noticed, parts: tuple[RasterPart, ...], bands: tuple[str, ...], table: LayerTable, season: Season
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return scale and offset of each band: the season's where it states them, else the files'.

    What is stated in feet, Fahrenheit, inches and the like is brought to metres, degrees Celsius and
    millimetres.

    Raises
    ------
    LayerRefused
        A file's own scale is 0, or a scale or offset is no number.
    """
    scale = [one if table.scale is None else table.scale for part in parts for one in part.scale]
    offset = [one if table.offset is None else table.offset for part in parts for one in part.offset]
    if table.scale == 0.0:
        noticed.say(
            "scale-zero",
            "stop",
            "scale = 0 turns every value into the same.",
            "Write the true scale, or none.",
        )
    _refuse_unusable(scale, offset, parts, table)
    say_stated_twice(noticed, parts, table)
    units = [unit for part in parts for unit in part.units]
    if noticed.name in ELEVATIONS:
        factor = M_PER_FT if table.vertical_unit == "ft" else 1.0
        _say_feet(noticed, parts[0], season)
        return tuple(one * factor for one in scale), tuple(one * factor for one in offset)
    say_other_units(noticed, bands, units, table)
    return to_our_units(bands, table, scale, offset)


def _extreme_names(parts: tuple[RasterPart, ...], table: LayerTable, count: int) -> tuple[str, ...]:
    written = table.bands or tuple(text for part in parts for text in _written_names(part, len(parts)))
    names = tuple(folded(text) for text in written)
    known = listed(EXTREMES)
    if len(names) != count:
        what = f"`bands` names {counted(len(names), 'band')}; {_files(parts)} has {count}."
    elif not set(names) <= set(EXTREMES):
        unknown = [f"'{text}'" for text, name in zip(written, names, strict=True) if name not in EXTREMES]
        what = f"these bands of {_files(parts)} are not {known}: {listed(unknown)}."
    elif len(set(names)) != len(names):
        what = f"an extreme has more than one band in {_files(parts)}: {listed(names)}."
    else:
        return names
    fix = f'Name the bands in order, for instance: bands = ["{EXTREMES[0]}", "{EXTREMES[1]}"]'
    raise LayerRefused(what, code="band-names", fix=fix)


def _refuse_unusable(
    scale: Sequence[float], offset: Sequence[float], parts: tuple[RasterPart, ...], table: LayerTable
) -> None:
    """Refuse a scale or an offset of the files themselves that leaves nothing of their values."""
    for factor, added in zip(scale, offset, strict=True):
        is_zero = factor == 0.0 and table.scale is None
        if math.isfinite(factor) and math.isfinite(added) and not is_zero:
            continue
        stated = f"scale {factor:g} and offset {added:g}"
        what = f"{_files(parts)} states {stated}, which leave nothing of its values."
        fix = "State the true ones in the season file, for instance: scale = 1.0 and offset = 0.0"
        raise LayerRefused(what, code="scale-unusable", fix=fix)


def _bioclim_names(parts: tuple[RasterPart, ...], table: LayerTable, count: int) -> tuple[str, ...]:
    written = table.bands or tuple(text for part in parts for text in _written_names(part, len(parts)))
    names = tuple(_variable(text) for text in written)
    if len(names) != count:
        what = f"`bands` names {counted(len(names), 'band')}; {_files(parts)} has {count}."
    elif not all(names):
        unknown = [f"'{text}'" for text, name in zip(written, names, strict=True) if not name]
        what = f"these bands of {_files(parts)} are not bio01 to bio19: {listed(unknown)}."
    elif len(set(names)) != len(names):
        what = f"a variable has more than one band in {_files(parts)}: {listed(names, 19)}."
    else:
        return names
    fix = 'Name the bands in order, for instance: bands = ["bio01", "bio05", "bio06", "bio12"]'
    raise LayerRefused(what, code="bands-unnamed", fix=fix)


def _written_names(part: RasterPart, files: int) -> tuple[str, ...]:
    """Return what names the bands of one file: its pattern, their descriptions, or the file's own name."""
    if part.count == 1 and part.file.variable:
        return (part.file.variable,)
    if part.count == 1 and files > 1 and not _variable(part.names[0]):
        return (Path(part.file.written).stem,)
    return part.names


def _variable(text: str) -> str:
    match = _BIOCLIM.search(text)
    name = f"bio{int(match[1]):02d}" if match else ""
    return name if name in CLIMATE_VARIABLES else ""


def _files(parts: tuple[RasterPart, ...]) -> str:
    return shown(tuple(part.file for part in parts))


def _say_feet(noticed: Noticed, part: RasterPart, season: Season) -> None:
    if f"layers.{noticed.name}.vertical_unit" in season.given:
        return
    unit = part.units[0].strip().casefold()
    names = (Path(part.file.written).name, *part.names)
    named = [text for text in names if _FEET & set(_WORD.findall(text.casefold()))]
    if named and unit not in _FEET:
        what = f"'{named[0]}' speaks of feet by its name; its elevation was read as m, the default."
        fix = 'If it is in feet, add: vertical_unit = "ft"; if not, say so: vertical_unit = "m"'
        noticed.say("vertical-unit", "caution", what, fix)
    if unit in _FEET:
        what = f"the file says its elevation is in '{unit}'; it was read as m, the default."
        noticed.say("vertical-unit", "stop", what, 'Add the one that is true: vertical_unit = "ft"')
