"""Hours of effort written with their unit, such as "1.5 person hours" and "90 min"."""

import re

import numpy as np

from geo_scout.layers.cells.text_values import Numbers, Texts
from geo_scout.layers.drafts import LayerDraft
from geo_scout.model.folded import folded
from geo_scout.model.listed import counted

_HOURS_PER = {"hour": 1.0, "minute": 1.0 / 60.0}
_EFFORT = re.compile(
    r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+) ?(?:person[ -]?|man[ -]?)?"
    r"(?:(?P<hour>h|hrs?|hours?)|(?P<minute>mins?|minutes?))\.?"
)
EFFORT_FIX = (
    'Write hours as numbers, or give every cell its unit: "1.5 person hours", "2 h" or "90 min"; a list of '
    "other things is no effort."
)


def hours_with_units(texts: Texts) -> Numbers | None:
    """Return efforts in hours, nan where blank; None unless every filled cell has a unit of time.

    Parameters
    ----------
    texts
        Cells as trimmed text, (n,). Units are h, hr, hour, person hour, min and minute, with or without s.

    Examples
    --------
    >>> hours_with_units(np.array(["1.5 person hours", "90 min", "2h", ""], dtype=object)).tolist()
    [1.5, 1.5, 2.0, nan]
    >>> hours_with_units(np.array(["2 h", "3"], dtype=object)) is None
    True
    """
    found = [_EFFORT.fullmatch(folded(text)) if text else None for text in texts.tolist()]
    filled = texts != ""
    if not filled.any() or any(one is None for one, there in zip(found, filled, strict=True) if there):
        return None
    return np.array([np.nan if one is None else float(one[1]) * _hours_per(one) for one in found])


def _hours_per(found: re.Match[str]) -> float:
    return _HOURS_PER["hour" if found["hour"] else "minute"]


def read_efforts(draft: LayerDraft, column: str, texts: Texts) -> bool:
    """Read a column of efforts with units into hours and say so; return whether it is one."""
    hours = hours_with_units(texts)
    if hours is None:
        return False
    draft.frame[column] = hours
    at = int(np.flatnonzero(texts != "")[0])
    rows = counted(int((texts != "").sum()), "row")
    what = f"{column} has its unit in each cell; read as hours in {rows}: '{texts[at]}' is {hours[at]:g}."
    fix = "Nothing, if that is the time that all of them looked, taken together."
    draft.say("effort-unit-read", "note", what, fix)
    return True
