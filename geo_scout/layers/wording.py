"""Names like the one that was meant, and lists of names in sentences."""

import difflib
from collections.abc import Iterable, Sequence

from geo_scout.model.folded import folded

LISTED_AT_MOST = 12


def nearest_name(wanted: str, names: Iterable[str]) -> str:
    """Return the name most like the wanted one; empty when none is alike.

    Examples
    --------
    >>> nearest_name("survey_dat", ["owner", "SURVEY_DATE"])
    'SURVEY_DATE'
    """
    by_folded = {folded(name): name for name in names}
    close = difflib.get_close_matches(folded(wanted), list(by_folded), n=1, cutoff=0.6)
    return by_folded[close[0]] if close else ""


def did_you_mean(wanted: str, names: Iterable[str]) -> str:
    """Return the question that ends a fix, with a space before it; empty when no name is alike."""
    near = nearest_name(wanted, names)
    return f" Did you mean '{near}'?" if near else ""


def listed(names: Sequence[str], at_most: int = LISTED_AT_MOST) -> str:
    """Return names for a sentence, the first ones and how many more.

    Examples
    --------
    >>> listed(["a", "b", "c"], at_most=2)
    'a, b and 1 more'
    """
    shown = ", ".join(names[:at_most])
    return f"{shown} and {len(names) - at_most} more" if len(names) > at_most else shown


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun.

    Examples
    --------
    >>> counted(1, "feature"), counted(1200, "feature")
    ('1 feature', '1,200 features')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"
