"""Tables and keys whose version has not come: refused by name, so that nobody thinks they work."""

from typing import Literal

from geo_scout.season.wording import KeyPath

FileKind = Literal["season", "profile"]

_RESERVED: dict[FileKind, frozenset[tuple[str, ...]]] = {
    "season": frozenset(
        {
            ("plan",),
            ("report",),
            ("crews", "people"),
            ("crews", "hours"),
            ("crews", "days"),
        }
    ),
    "profile": frozenset(),
}


def is_reserved(kind: FileKind, path: KeyPath) -> bool:
    """Return whether a key or table is kept for a later version.

    >>> is_reserved("season", ("crews", 0, "people"))
    True
    """
    return tuple(part for part in path if isinstance(part, str)) in _RESERVED[kind]
