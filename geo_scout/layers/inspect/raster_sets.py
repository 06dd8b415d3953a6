"""Single-band rasters that belong together: twelve months, or bioclimatic variables."""

import re
from collections import defaultdict
from collections.abc import Sequence

from geo_scout.model.draft import FoundRaster

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_BIOCLIM = re.compile(r"bio[ _-]?0*([0-9]{1,2})(?![0-9])", re.IGNORECASE)
_PARTS = re.compile(r"[0-9]+|[a-z]+|[^0-9a-z]+")
VARIABLES = 19
Key = tuple[str, ...]


def group_rasters(rasters: Sequence[FoundRaster]) -> list[tuple[FoundRaster, ...]]:
    """Return rasters in groups: twelve of one element by month, bioclimatic ones by number, others alone.

    Files of a folder belong together whose names differ in one number from 1 to 12, or in one month's
    name. Order is January to December, or the number of the variable.
    """
    alone = [raster for raster in rasters if raster.bands != 1]
    single = [raster for raster in rasters if raster.bands == 1]
    by_variable = _by_variable(single)
    groups = [members for members in by_variable if len(members) > 1]
    used = {raster.path for members in groups for raster in members}
    left = [raster for raster in single if raster.path not in used]
    for members in _by_month(left):
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
