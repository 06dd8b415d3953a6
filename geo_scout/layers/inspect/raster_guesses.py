"""Units, reference systems and band names of rasters."""

import math
import re
from collections.abc import Iterator, Sequence

from geo_scout.layers.inspect.climate_units import guess_precipitation_unit, guess_temperature_unit, unit_said
from geo_scout.layers.inspect.names import words_of
from geo_scout.layers.inspect.raster_sets import VARIABLES, extreme_of, variable_number
from geo_scout.model.draft import BLANK, FoundRaster, SettingGuess
from geo_scout.model.listed import counted
from geo_scout.model.quantities import EXTREMES

_FEET = frozenset({"ft", "feet", "foot"})
_METRES = frozenset({"m", "metre", "meter"})


def guess_raster_settings(kind: str, group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    """Yield what the season has to say of a raster that the file does not say itself."""
    if not group[0].crs:
        question = (
            f"In which coordinate reference system is {group[0].path.name}? It states none. Ask whoever "
            f"made it."
        )
        yield SettingGuess("crs", BLANK, "it states no reference system", question, is_needed=True)
    if kind in ("elevation", "climate_elevation"):
        yield _vertical_unit(group[0])
    elif kind == "extremes":
        yield from _extreme_bands(group)
        yield from _temperature(kind, group)
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
    if any(raster.is_scaled for raster in group):
        return
    least, mean, most = _least_mean_most(group)
    said = _said_unit("temperature", group)
    if said or not math.isnan(mean):
        yield from guess_temperature_unit(kind, said, least, most)


def _precipitation(group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    least, _, most = _least_mean_most(group)
    yield from guess_precipitation_unit(_said_unit("precipitation", group), least, most, "month")


def _bioclim_bands(group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    if len(group) > 1 or group[0].bands == 1:
        names = [f"bio{variable_number(raster):02d}" for raster in group]
        yield SettingGuess("bands", names, "the files' names say so")
    elif not all(re.search(r"bio[ _-]?[0-9]", text, re.IGNORECASE) for text in group[0].descriptions):
        names = [f"bio{number:02d}" for number in range(1, VARIABLES + 1)]
        question = "Are the bands in this order? The file does not name them."
        yield SettingGuess("bands", names, f"it has {VARIABLES} bands", question)


def _extreme_bands(group: Sequence[FoundRaster]) -> Iterator[SettingGuess]:
    texts = extreme_texts(group)
    if [text.casefold() for text in texts] == sorted(set(EXTREMES) & set(texts), key=texts.index):
        return
    names = [extreme_of(text) for text in texts]
    if all(names) and len(set(names)) == len(names):
        yield SettingGuess("bands", names, "the names of the bands or files say so")
        return
    question = (
        f"Does {group[0].path.name} hold the lowest temperature of the year or the highest? Name its "
        f"{counted(len(texts), 'band')} in order; what they are called does not say."
    )
    seen = "nothing says which of the two it is"
    yield SettingGuess("bands", [BLANK] * len(texts), seen, question, EXTREMES, is_needed=True)


def extreme_texts(group: Sequence[FoundRaster]) -> list[str]:
    """Return what names each band: its description, or the file's own name where a file has one band."""
    if len(group) > 1:
        return [raster.path.stem for raster in group]
    (raster,) = group
    alone = raster.path.stem if raster.bands == 1 else ""
    return [text.strip() or alone for text in raster.descriptions]


def _said(raster: FoundRaster) -> set[str]:
    texts = (raster.path.stem, *raster.units[:1], *raster.descriptions[:1])
    return {word for text in texts for word in (*words_of(text), *text.casefold().split())}


def _said_unit(element: str, group: Sequence[FoundRaster]) -> str:
    # A file's name is left out: "tmin_c" and "in" are too short to trust there.
    texts = [text for text in (*group[0].units[:1], *group[0].descriptions[:1]) if text]
    words = {
        word for text in texts for word in (*words_of(text), *re.findall(r"[^\s\[\]()]+", text.casefold()))
    }
    return unit_said(element, words)


def _least_mean_most(group: Sequence[FoundRaster]) -> tuple[float, float, float]:
    known = [raster for raster in group if not math.isnan(raster.mean)]
    if not known:
        return math.nan, math.nan, math.nan
    mean = sum(raster.mean for raster in known) / len(known)
    return min(one.least for one in known), mean, max(one.most for one in known)
