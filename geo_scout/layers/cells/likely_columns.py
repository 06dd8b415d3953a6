"""Which column of a file is likely one of ours under another name: asked about in a fix, never taken."""

from collections.abc import Sequence

from geo_scout.layers.inspect.names import likeness
from geo_scout.layers.inspect.synonyms import COLUMN_PHRASES, POSITION_PHRASES
from geo_scout.layers.wording import nearest_name
from geo_scout.model.folded import folded

# Our choice: "Survey_Dt" is 1 like "survey date"; a spelling alone needs some letters to be like another.
_ALIKE = 0.8
_LEAST_LETTERS = 4
# A mean is neither the lowest nor the highest, however alike the names are.
_EXTREMES, _MEANS = ("tmin", "tmax"), ("mean", "avg", "average")


def likely_name(ours: str, names: Sequence[str], layer: str) -> str:
    """Return the column that is likely ours under another name; empty where none is.

    Parameters
    ----------
    ours
        Our name.
    names
        The file's names.
    layer
        The layer, for what people call its columns.

    Examples
    --------
    >>> likely_name("host", ["id", "SPECIES", "cover"], "infestations")
    'SPECIES'
    """
    if ours in _EXTREMES:
        names = [name for name in names if not any(word in folded(name) for word in _MEANS)]
    phrases = COLUMN_PHRASES.get(layer, {}).get(ours) or POSITION_PHRASES.get(ours, ())
    alike, name = max(((likeness(name, phrases)[0], name) for name in names), default=(0.0, ""))
    near = name if alike >= _ALIKE else nearest_name(ours, names)
    return near if len(near) >= _LEAST_LETTERS or alike >= _ALIKE else ""
