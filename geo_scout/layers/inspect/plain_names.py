"""Names that say what a table is and nothing else."""

from collections.abc import Iterable

from geo_scout.layers.inspect.map_synonyms import FILLERS
from geo_scout.layers.inspect.names import words_of
from geo_scout.model.draft import FoundVector


def is_plainly_called(found: FoundVector, phrases: Iterable[str]) -> bool:
    """Return whether a table's name holds words of the phrases, and beside them numbers and fillers only.

    The layer's name counts where a file has several; the names of folders never do.

    Parameters
    ----------
    found
        The table.
    phrases
        What tables of the kind are called.
    """
    telling = {word for phrase in phrases for word in words_of(phrase)} - FILLERS
    words = set(words_of(found.layer or found.path.stem))
    others = {word for word in words - telling - FILLERS if not word[0].isdigit()}
    return bool(words & telling) and not others
