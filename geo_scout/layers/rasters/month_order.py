"""Whether twelve files or bands stand in the order January to December, by their names."""

import re
from collections.abc import Sequence

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.rasters.parts import RasterPart
from geo_scout.model.listed import listed

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_YEAR = tuple(range(1, 13))
_WORDS = re.compile(r"[0-9]+|[a-z]+", re.IGNORECASE)
_SHOWN_AT_MOST = 3


def refuse_other_order(parts: Sequence[RasterPart]) -> None:
    """Refuse twelve months whose names stand in another order than January to December.

    In a list sorted by letters October follows January. Names that do not tell the months are believed.

    Raises
    ------
    LayerRefused
        With the order the names tell.
    """
    are_files = len(parts) > 1
    names = [part.file.written for part in parts] if are_files else list(parts[0].names)
    months = months_of(names)
    if not months or months == _YEAR:
        return
    shown = listed([f"'{name}'" for name in names], _SHOWN_AT_MOST)
    order = ", ".join(str(month) for month in months)
    what = f"by their names its {'files' if are_files else 'bands'} are the months {order}: {shown}."
    fix = "Give them in the order January to December"
    pattern = _pattern(names) if are_files else ""
    fix += f', or all by one pattern: path = "{pattern}"' if pattern else "."
    raise LayerRefused(what, code="month-order", fix=fix)


def months_of(names: Sequence[str]) -> tuple[int, ...]:
    """Return the month each of twelve names tells by one number or word; empty where they tell none.

    Examples
    --------
    >>> months_of([f"tmin_{month}.tif" for month in (1, 10, 11, 12, 2, 3, 4, 5, 6, 7, 8, 9)])
    (1, 10, 11, 12, 2, 3, 4, 5, 6, 7, 8, 9)
    >>> months_of(["a", "b"])
    ()
    """
    words = [_WORDS.findall(name) for name in names]
    if len({len(one) for one in words}) != 1:
        return ()
    told = [tuple(_month(word) for word in place) for place in zip(*words, strict=True)]
    whole = [months for months in told if tuple(sorted(months)) == _YEAR]
    return next((months for months in whole if months == _YEAR), whole[0] if whole else ())


def _month(word: str) -> int:
    """Return the month a word or a number stands for; 0 for none."""
    if word.isdigit():
        return int(word) if len(word) <= 2 else 0
    start = word[:3].casefold()
    return _MONTHS.index(start) + 1 if start in _MONTHS else 0


def _pattern(names: Sequence[str]) -> str:
    """Return the pattern with a blank for the month that finds just these names; empty where none does."""
    for word in _WORDS.finditer(names[0]):
        for blank, digits in (("{month}", 1), ("{month:02}", 2)):
            start, end = names[0][: word.start()], names[0][word.end() :]
            if {f"{start}{month:0{digits}}{end}" for month in _YEAR} == set(names):
                return f"{start}{blank}{end}"
    return ""
