"""Names that must differ within a list of tables."""

from collections.abc import Iterator, Sequence

from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.wording import KeyPath, dotted, show_value


def check_unique(document: Document, rows: Sequence[KeyPath], key: str, noun: str) -> Iterator[Problem]:
    """Yield the mistake of a name that an earlier table of the same list has; capitals do not matter.

    Parameters
    ----------
    document
        The file.
    rows
        Paths of the tables.
    key
        The key that holds the name.
    noun
        What one table stands for, in words.
    """
    seen: dict[str, KeyPath] = {}
    for row in rows:
        name = document.text(*row, key)
        if name is None:
            continue
        first = seen.setdefault(name.strip().casefold(), row)
        if first != row:
            place = f"{dotted(first)} on line {document.line((*first, key))}"
            what = f"{show_value(name)} is already the {key} of {place}."
            yield document.problem("duplicate-name", (*row, key), what, f"give each {noun} its own {key}.")
