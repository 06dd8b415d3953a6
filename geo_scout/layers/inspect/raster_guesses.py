"""Units, reference systems and band names of rasters."""

import math
import re
from collections.abc import Iterator, Sequence

from geo_scout.layers.inspect.names import words_of
from geo_scout.layers.inspect.raster_sets import VARIABLES, variable_number
from geo_scout.model.columns import CLIMATE_UNITS
from geo_scout.model.draft import BLANK, FoundRaster, SettingGuess

_FEET = frozenset({"ft", "feet", "foot"})
_METRES = frozenset({"m", "metre", "meter"})
_UNIT_WORDS: dict[str, dict[str, frozenset[str]]] = {
    "temperature": {
        "degc": frozenset({"degc", "celsius", "c", "°c"}),
        "degf": frozenset({"degf", "fahrenheit", "f", "°f"}),
        "kelvin": frozenset({"kelvin", "k"}),
    },
    "precipitation": {
        "mm": frozenset({"mm", "millimetre", "millimeter"}),
        "cm": frozenset({"cm"}),
        "inch": frozenset({"inch", "inches", "in"}),
    },
}
# Means of a month on land, wider than any station's record: below -65 or, with more than a Kelvin scale can
# span, above 125 they can only be tenths; from 55 up they may be Fahrenheit, Kelvin or tenths.
_TENTHS, _TENTHS_ABOVE, _KELVIN_SPREAD, _HIGHEST_DEGC = 65.0, 125.0, 90.0, 55.0
_LOWEST_MONTH_MM = 12.0


def guess_raster_settings(kind: str, group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    """Yield what the season has to say of a raster that the file does not say itself."""
    if not group[0].crs:
        question = (
            f"In which coordinate reference system is {group[0].path.name}? It states none. Ask whoever "
            f"made it."
        )
        yield SettingGuess("crs", BLANK, "it states no reference system", question, is_needed=True)
    if kind == "elevation":
        yield _vertical_unit(group[0])
    elif kind in ("tmin", "tmax"):
        yield from _temperature(kind, group)
    elif kind == "precipitation":
        yield from _precipitation(group)
    elif kind == "bioclim":
        yield from _bioclim_bands(group)


def _vertical_unit(raster: FoundRaster) -> SettingGuess:
    says = _said(raster)
    if says & _FEET and not says & _METRES:
        return SettingGuess("vertical_unit", "ft", "its name, unit or band says feet")
    if says & _METRES and not says & _FEET:
        return SettingGuess("vertical_unit", "m", "its name, unit or band says metres")
    seen = f"values from {raster.least:,.0f} to {raster.most:,.0f}"
    question = f"Are the heights in metres (m) or in feet (ft)? The file does not say; {seen} can be either."
    if raster.is_crs_in_feet:
        question += " Its positions are in feet."
        return SettingGuess("vertical_unit", BLANK, seen, question, ("m", "ft"), is_needed=True)
    return SettingGuess("vertical_unit", "m", f"the file does not say; {seen}", question, ("m", "ft"))


def _temperature(kind: str, group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    unit = _said_unit("temperature", group)
    if unit == "degc" or any(raster.is_scaled for raster in group):
        return
    if unit:
        yield SettingGuess("units.temperature", unit, f"its name, unit or band says {unit}")
        return
    least, mean, most = _least_mean_most(group)
    if math.isnan(mean):
        return
    seen = f"values from {least:,.4g} to {most:,.4g}"
    question = f"In which unit is {kind}? The file does not say; {seen}."
    choices = CLIMATE_UNITS["temperature"]
    if least < -_TENTHS or (most > _TENTHS_ABOVE and most - least > _KELVIN_SPREAD):
        yield SettingGuess(
            "units.temperature", "tenths of degc", f"{seen}, as tenths would", question, choices
        )
    elif most > _HIGHEST_DEGC:
        yield SettingGuess("units.temperature", BLANK, seen, question, choices, is_needed=True)
    else:
        yield SettingGuess("units.temperature", "degc", f"{seen}, as degrees C would", question, choices)


def _precipitation(group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    unit = _said_unit("precipitation", group)
    if unit == "mm":
        return
    if unit:
        yield SettingGuess("units.precipitation", unit, f"its name, unit or band says {unit}")
        return
    least, _, most = _least_mean_most(group)
    seen = f"values from {least:,.4g} to {most:,.4g}"
    choices = CLIMATE_UNITS["precipitation"]
    question = f"In which unit is precipitation? The file does not say; {seen} a month."
    if most < _LOWEST_MONTH_MM:
        yield SettingGuess("units.precipitation", BLANK, seen, question, choices, is_needed=True)
    else:
        yield SettingGuess("units.precipitation", "mm", f"{seen}, as mm would", question, choices)


def _bioclim_bands(group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    if len(group) > 1 or group[0].bands == 1:
        names = [f"bio{variable_number(raster):02d}" for raster in group]
        yield SettingGuess("bands", names, "the files' names say so")
    elif not all(re.search(r"bio[ _-]?[0-9]", text, re.IGNORECASE) for text in group[0].descriptions):
        names = [f"bio{number:02d}" for number in range(1, VARIABLES + 1)]
        question = "Are the bands in this order? The file does not name them."
        yield SettingGuess("bands", names, f"it has {VARIABLES} bands", question)


def _said(raster: FoundRaster) -> set[str]:
    texts = (raster.path.stem, *raster.units[:1], *raster.descriptions[:1])
    return {word for text in texts for word in (*words_of(text), *text.casefold().split())}


def _said_unit(element: str, group: Sequence[FoundRaster]) -> str:
    # A file's name is left out: "tmin_c" and "in" are too short to trust there.
    texts = [text for text in (*group[0].units[:1], *group[0].descriptions[:1]) if text]
    words = {
        word for text in texts for word in (*words_of(text), *re.findall(r"[^\s\[\]()]+", text.casefold()))
    }
    return next((unit for unit, names in _UNIT_WORDS[element].items() if words & names), "")


def _least_mean_most(group: Sequence[FoundRaster]) -> tuple[float, float, float]:
    known = [raster for raster in group if not math.isnan(raster.mean)]
    if not known:
        return math.nan, math.nan, math.nan
    mean = sum(raster.mean for raster in known) / len(known)
    return min(one.least for one in known), mean, max(one.most for one in known)
