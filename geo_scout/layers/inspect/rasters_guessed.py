"""Which of our layers a raster or a set of rasters is, from names, bands and values."""

import math
import re
from collections.abc import Iterator, Sequence

from geo_scout.layers.inspect.names import words_of
from geo_scout.layers.inspect.raster_guesses import guess_raster_settings
from geo_scout.layers.inspect.raster_sets import VARIABLES, group_rasters, variable_number
from geo_scout.layers.inspect.synonyms import LAYER_PHRASES
from geo_scout.model.columns import RASTER_LAYERS
from geo_scout.model.draft import FoundRaster, Grid, LayerGuess, Unused
from geo_scout.model.listed import counted
from geo_scout.model.quantities import EXTREMES

LEAST_SCORE = 0.5
_TEMPERATURE_ABS = 400.0
_MONTHS = 12
_ELEVATION = (-1_500.0, 30_000.0)
_NAMED, _NAMED_FOLDER, _UNNAMED, _BANDS_FIT, _VALUES_FIT = 0.5, 0.35, 0.15, 0.3, 0.2


def assign_rasters(rasters: Sequence[FoundRaster]) -> tuple[list[LayerGuess], list[Unused]]:
    """Return the rasters as layers, each layer once, and those that are not used with the reason."""
    groups = group_rasters(rasters)
    grids = _climate_grids(groups)
    guesses = [guess for group in groups for kind in RASTER_LAYERS if (guess := _guess(kind, group, grids))]
    chosen: dict[str, LayerGuess] = {}
    used: set[str] = set()
    # Of two rasters of heights as likely, the one on other cells than the climate's is the ground's.
    for guess in sorted(guesses, key=lambda one: (-one.score, one.rasters[0].grid in grids)):
        name = guess.path.as_posix()
        if guess.score >= LEAST_SCORE and guess.kind not in chosen and name not in used:
            chosen[guess.kind] = guess
            used.add(name)
    unused = [
        Unused(raster.path, "", _why(group, guesses, chosen))
        for group in groups
        if group[0].path.as_posix() not in used
        for raster in group
    ]
    return [chosen[kind] for kind in RASTER_LAYERS if kind in chosen], unused


def _climate_grids(groups: Sequence[Sequence[FoundRaster]]) -> frozenset[Grid]:
    """Return the grids of what is surely monthly climate, by its twelve months and its name."""
    monthly = [group for group in groups if sum(raster.bands for raster in group) == _MONTHS]
    kinds = [kind for kind, one in RASTER_LAYERS.items() if one.bands == _MONTHS]
    named = [group for group in monthly if any(_name_like(kind, group)[1] for kind in kinds)]
    return frozenset(group[0].grid for group in named if group[0].grid)


def _guess(kind: str, group: Sequence[FoundRaster], climate_grids: frozenset[Grid]) -> LayerGuess | None:
    if kind == "climate_elevation":
        return _climate_elevation(group, climate_grids)
    named, phrase = _name_like(kind, group)
    bands = len(group) if len(group) > 1 else group[0].bands
    wanted = RASTER_LAYERS[kind].bands
    if wanted is not None and bands != wanted:
        return None
    if kind == "bioclim" and not _variables_named(group):
        return None
    if kind == "elevation" and _name_like("climate_elevation", group)[0] == _NAMED:
        return None
    if kind == "extremes" and (bands > len(EXTREMES) or _name_like("precipitation", group)[1]):
        return None
    if not _values_fit(kind, group):
        return None
    if not phrase and (kind not in ("elevation", "bioclim") or _is_named_otherwise(group)):
        return None
    told = f"its name or its bands say '{phrase}'" if phrase else "nothing names it"
    return _guessed(kind, group, named, told)


def _climate_elevation(group: Sequence[FoundRaster], climate_grids: frozenset[Grid]) -> LayerGuess | None:
    """Return heights of the climate's own cells: so named, or named elevation and on the climate's grid."""
    if len(group) > 1 or group[0].bands != 1 or not _values_fit("elevation", group):
        return None
    named, phrase = _name_like("climate_elevation", group)
    if named == _NAMED:
        return _guessed("climate_elevation", group, named, f"its name or its bands say '{phrase}'")
    if _name_like("elevation", group)[1] and group[0].grid in climate_grids:
        told = "its name or its bands say elevation, and its cells are those of the climate rasters"
        return _guessed("climate_elevation", group, _NAMED_FOLDER, told)
    return None


def _guessed(kind: str, group: Sequence[FoundRaster], named: float, told: str) -> LayerGuess:
    bands = len(group) if len(group) > 1 else group[0].bands
    score = round(named + _BANDS_FIT + _VALUES_FIT, 2)
    least, most = _range(group)
    evidence = (
        counted(len(group), "file of one band", "files of one band")
        if len(group) > 1
        else counted(bands, "band"),
        told,
        f"values from {least:,.4g} to {most:,.4g}",
    )
    return LayerGuess(
        kind, score, evidence, rasters=tuple(group), settings=tuple(guess_raster_settings(kind, group))
    )


def _name_like(kind: str, group: Sequence[FoundRaster]) -> tuple[float, str]:
    """Return the score of the name and the words that say it: of the file, its bands, or its folder."""
    if kind == "bioclim" and _variables_named(group):
        return _NAMED, "bioclim"
    near = f"{group[0].path.stem} {' '.join(group[0].descriptions[:1])}"
    for text, score in ((near, _NAMED), (group[0].path.parent.name, _NAMED_FOLDER)):
        # Digits written close to a word are months or resolutions: tmin01.
        words = set(words_of(re.sub(r"(?<=[A-Za-z])(?=[0-9])|(?<=[0-9])(?=[A-Za-z])", " ", text)))
        hits = [phrase for phrase in LAYER_PHRASES[kind] if set(words_of(phrase)) <= words]
        if hits:
            return score, max(hits, key=len)
    return _UNNAMED, ""


def _is_named_otherwise(group: Sequence[FoundRaster]) -> bool:
    return any(_name_like(kind, group)[1] for kind in RASTER_LAYERS)


def _variables_named(group: Sequence[FoundRaster]) -> bool:
    if len(group) > 1 or group[0].bands == 1:
        return all(variable_number(raster) is not None for raster in group)
    words = re.compile(r"bio[ _-]?[0-9]{1,2}", re.IGNORECASE)
    named = all(words.search(text) for text in group[0].descriptions)
    return named or (group[0].bands == VARIABLES and "bio" in group[0].path.stem.casefold())


def _values_fit(kind: str, group: Sequence[FoundRaster]) -> bool:
    least, most = _range(group)
    if math.isnan(least):
        return True
    if kind == "elevation":
        return _ELEVATION[0] <= least and most <= _ELEVATION[1]
    if kind in ("tmin", "tmax", "extremes"):
        return max(abs(least), abs(most)) <= _TEMPERATURE_ABS
    return kind != "precipitation" or least >= 0.0


def _range(group: Sequence[FoundRaster]) -> tuple[float, float]:
    known = [raster for raster in group if not math.isnan(raster.least)]
    if not known:
        return math.nan, math.nan
    return min(raster.least for raster in known), max(raster.most for raster in known)


def _why(group: Sequence[FoundRaster], guesses: Sequence[LayerGuess], chosen: dict[str, LayerGuess]) -> str:
    mine = [guess for guess in guesses if guess.path == group[0].path and guess.score >= LEAST_SCORE]
    if mine:
        best = max(mine, key=lambda guess: guess.score)
        return f"it looks like {best.kind} too, but {chosen[best.kind].path.name} looks more like it."
    return f"it was not recognised: {'; '.join(_seen(group))}."


def _seen(group: Sequence[FoundRaster]) -> Iterator[str]:
    least, most = _range(group)
    yield counted(group[0].bands, "band")
    yield "no cell with a value" if math.isnan(least) else f"values from {least:,.4g} to {most:,.4g}"
    yield "climate needs 12 bands or 12 files by month, elevation 1 band"
