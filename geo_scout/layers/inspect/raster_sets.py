"""Single-band rasters that belong together: twelve months, bioclimatic variables, or two yearly extremes."""

import re
from collections import defaultdict
from collections.abc import Sequence

from geo_scout.layers.inspect.names import words_of
from geo_scout.layers.inspect.synonyms import LAYER_PHRASES
from geo_scout.model.draft import FoundRaster
from geo_scout.model.quantities import EXTREMES

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_BIOCLIM = re.compile(r"bio[ _-]?0*([0-9]{1,2})(?![0-9])", re.IGNORECASE)
_PARTS = re.compile(r"[0-9]+|[a-z]+|[^0-9a-z]+")
_SIDES = (
    frozenset({"min", "minimum", "low", "lowest", "cold", "coldest", "tmin"}),
    frozenset({"max", "maximum", "high", "highest", "hot", "hottest", "tmax"}),
)
VARIABLES = 19
Key = tuple[str, ...]


def group_rasters(rasters: Sequence[FoundRaster]) -> list[tuple[FoundRaster, ...]]:
    """Return rasters in groups: twelve of one element by month, bioclimatic ones by number, others alone.

    The lowest and the highest temperature of the year belong together where a folder has one of each.

    Files of a folder belong together whose names differ in one number from 1 to 12, or in one month's
    name. Order is January to December, or the number of the variable.
    """
    alone = [raster for raster in rasters if raster.bands != 1]
    single = [raster for raster in rasters if raster.bands == 1]
    by_variable = _by_variable(single)
    groups = [members for members in by_variable if len(members) > 1]
    used = {raster.path for members in groups for raster in members}
    left = [raster for raster in single if raster.path not in used]
    for members in (*_by_extreme(left), *_by_month(left)):
        if not used & {raster.path for raster in members}:
            groups.append(members)
            used |= {raster.path for raster in members}
    rest = [*alone, *(raster for raster in single if raster.path not in used)]
    return [*groups, *((raster,) for raster in rest)]


def variable_number(raster: FoundRaster) -> int | None:
    """Return which bioclimatic variable a file of one band holds, by its name; None where it does not say."""
    match = _BIOCLIM.search(raster.path.stem)
    number = int(match[1]) if match else 0
    return number if 1 <= number <= VARIABLES else None


def extreme_of(text: str) -> str:
    """Return which yearly extreme a name tells of; empty where it does not say.

    >>> extreme_of("Annual extreme minimum"), extreme_of("record-high"), extreme_of("extremes")
    ('annual_extreme_min_degc', 'annual_extreme_max_degc', '')
    """
    words = set(words_of(text))
    sides = [name for name, said in zip(EXTREMES, _SIDES, strict=True) if words & said]
    return sides[0] if len(sides) == 1 else ""


def is_variable(name: str) -> bool:
    """Return whether a name says nothing but a bioclimatic variable: bio05, BIO5, bio_5."""
    match = _BIOCLIM.fullmatch(name.strip())
    return match is not None and 1 <= int(match[1]) <= VARIABLES


def _by_extreme(single: Sequence[FoundRaster]) -> list[tuple[FoundRaster, ...]]:
    folders: dict[str, dict[str, FoundRaster]] = defaultdict(dict)
    for raster in single:
        words = set(words_of(raster.path.stem))
        is_named = any(set(words_of(phrase)) <= words for phrase in LAYER_PHRASES["extremes"])
        name = extreme_of(raster.path.stem) if is_named else ""
        if name:
            folders[raster.path.parent.as_posix()].setdefault(name, raster)
    return [
        tuple(found[name] for name in EXTREMES) for found in folders.values() if len(found) == len(EXTREMES)
    ]


def _by_variable(single: Sequence[FoundRaster]) -> list[tuple[FoundRaster, ...]]:
    folders: dict[str, dict[int, FoundRaster]] = defaultdict(dict)
    for raster in single:
        number = variable_number(raster)
        if number is not None:
            folders[raster.path.parent.as_posix()].setdefault(number, raster)
    return [tuple(members[number] for number in sorted(members)) for members in folders.values()]


def _by_month(single: Sequence[FoundRaster]) -> list[tuple[FoundRaster, ...]]:
    families: dict[Key, dict[int, FoundRaster]] = defaultdict(dict)
    for raster in single:
        for family, month in _families(raster):
            families[family].setdefault(month, raster)
    whole = set(range(1, 13))
    return [
        tuple(found[month] for month in range(1, 13)) for found in families.values() if set(found) == whole
    ]


def _families(raster: FoundRaster) -> list[tuple[Key, int]]:
    """Return the names the file would share with its eleven fellows, each with the month it would be."""
    folder, parts = raster.path.parent.as_posix(), _PARTS.findall(raster.path.stem.casefold())
    families = []
    for place, part in enumerate(parts):
        month = int(part) if part.isdigit() and len(part) <= 2 else _month_of(part)
        if 1 <= month <= 12:
            others = (*parts[:place], "*", *parts[place + 1 :])
            families.append(((folder, raster.path.suffix.casefold(), *others), month))
    return families


def _month_of(part: str) -> int:
    return _MONTHS.index(part[:3]) + 1 if part[:3] in _MONTHS and part.isalpha() else 0
