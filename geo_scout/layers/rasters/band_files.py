"""Which files a raster layer is made of: one, several in order, or those a pattern of names finds."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from geo_scout.layers.noticed import LayerRefused
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed
from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.model.season import Season

MONTHS = range(1, 13)
_SHOWN_AT_MOST = 5
_OTHER_BLANK = {"{month:02}": "{month}", "{month}": "{month:02}"}


@dataclass(frozen=True, slots=True)
class RasterFile:
    """One file of a raster layer.

    Parameters
    ----------
    path
        Where it is.
    written
        As the season file names it.
    variable
        Bioclimatic variable its name stands for in a pattern; empty otherwise.
    """

    path: Path
    written: str
    variable: str = ""


def files_of_raster(season: Season, table: LayerTable) -> tuple[RasterFile, ...]:
    """Return the files of a raster layer, months and variables in their order.

    Raises
    ------
    LayerRefused
        A file is not there, or a pattern finds none or two for one variable.
    """
    if "{variable}" in table.path and not table.paths:
        return _of_variables(season, table.path)
    files = [RasterFile(season.file_of(written), written) for written in _names(table)]
    missing = [file.written for file in files if not file.path.is_file()]
    if missing and len(files) == 1:
        what = f"there is no file '{missing[0]}' in the season file's folder."
        fix = "Check the spelling of `path`, or put the file there."
        raise LayerRefused(what, code="file-missing", fix=fix)
    if missing:
        quoted = listed([f"'{name}'" for name in missing], _SHOWN_AT_MOST)
        are_not = f"{len(missing)} of its {len(files)} files {'is' if len(missing) == 1 else 'are'} not there"
        lost = f"none of its {len(files)} files is there" if len(missing) == len(files) else are_not
        what = f"{lost}: {quoted}."
        raise LayerRefused(what, code="file-missing", fix=_fix_of_missing(season, table, missing))
    return tuple(files)


def _fix_of_missing(season: Season, table: LayerTable, missing: Sequence[str]) -> str:
    """Return the other way to write the months where that finds them all, else what the folder holds."""
    other = _OTHER_BLANK.get(next((blank for blank in _OTHER_BLANK if blank in table.path), ""), "")
    if other and not table.paths:
        pattern = table.path.replace("{month:02}", "{month}").replace("{month}", other)
        if all(season.file_of(name).is_file() for name in _by_month(pattern)):
            return f'Write path = "{pattern}", which finds all twelve.'
    folder = season.file_of(missing[0]).parent
    there = sorted(item.name for item in folder.iterdir() if item.is_file()) if folder.is_dir() else []
    if not there:
        return "Check the spelling: there is no such folder, or nothing in it."
    return f"Check the spelling; the folder holds {listed(there, _SHOWN_AT_MOST)}."


def shown(files: tuple[RasterFile, ...]) -> str:
    """Return the files as a sentence begins with them: the only one's name, or how many."""
    return f"'{files[0].written}'" if len(files) == 1 else f"the set of {len(files)} files"


def _names(table: LayerTable) -> list[str]:
    if table.paths:
        return list(table.paths)
    if "{month" not in table.path:
        return [table.path]
    return _by_month(table.path)


def _by_month(pattern: str) -> list[str]:
    return [pattern.replace("{month:02}", f"{m:02d}").replace("{month}", str(m)) for m in MONTHS]


def _of_variables(season: Season, pattern: str) -> tuple[RasterFile, ...]:
    files = []
    for variable in CLIMATE_VARIABLES:
        found = list(_spelt(season, pattern, variable))
        if len(found) > 1:
            what = f"'{found[0].written}' and '{found[1].written}' are both {variable}."
            raise LayerRefused(what, code="variable-twice", fix="Take one of the two out of the folder.")
        files += found
    if not files:
        what = f"no file is found by '{pattern}', with bio01, bio1, 01 or 1 for the first variable."
        raise LayerRefused(
            what, code="file-missing", fix="Check the spelling of `path`, or name the `paths`."
        )
    return tuple(files)


def _spelt(season: Season, pattern: str, variable: str) -> Iterator[RasterFile]:
    """Yield each file of a variable once; where capitals do not matter, two spellings are one file."""
    plain = f"bio{int(variable[3:])}"
    spellings = [spelling for name in (variable, plain) for spelling in (name, name.upper(), name[3:])]
    known: list[Path] = []
    for spelling in dict.fromkeys(spellings):
        written = pattern.replace("{variable}", spelling)
        path = season.file_of(written)
        if path.is_file() and not any(path.samefile(other) for other in known):
            known.append(path)
            yield RasterFile(path, written, variable)
