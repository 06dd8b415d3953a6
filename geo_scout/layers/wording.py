"""Names like the one that was meant."""

import difflib
from collections.abc import Iterable

from geo_scout.model.folded import folded


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
