"""Columns that hold a year's climate variables as they are: bio05, BIO5 or bio_5."""

import re
from collections.abc import Sequence

from geo_scout.model.column import Column
from geo_scout.model.folded import folded
from geo_scout.model.quantities import CLIMATE_VARIABLES

_NUMBERED = re.compile(r"bio[ _-]?0?([1-9]|1[0-9])")


def ready_variables(names: Sequence[str]) -> dict[str, str]:
    """Return our name -> the file's name of every climate variable among its columns.

    Examples
    --------
    >>> ready_variables(["place", "BIO5", "bio_12", "bio05x", "biome"])
    {'bio05': 'BIO5', 'bio12': 'bio_12'}
    """
    found: dict[str, str] = {}
    for name in names:
        numbered = _NUMBERED.fullmatch(folded(name))
        if numbered:
            found.setdefault(f"bio{int(numbered[1]):02d}", name)
    return found


def variable_columns(found: dict[str, str]) -> tuple[Column, ...]:
    """Return a column for each climate variable that was found."""
    return tuple(Column(name, "number", CLIMATE_VARIABLES[name][1], is_required=True) for name in found)
