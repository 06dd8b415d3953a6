"""One TOML file as values with their places: what every check of this room reads."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from geo_scout.model.problem import Problem
from geo_scout.season.positions import Positions
from geo_scout.season.wording import KeyPath, dotted, header


@dataclass(frozen=True)
class Document:
    """A TOML file that could be parsed.

    The accessors return None, or nothing, for a value that is absent or of another type: that is
    the business of the model's own check, so that no mistake is told twice.

    Parameters
    ----------
    file
        Name of the file as the user wrote it.
    data
        Its values.
    positions
        Where its keys stand.
    """

    file: str
    data: Mapping[str, Any]
    positions: Positions

    def get(self, *path: str | int) -> Any:
        """Return the value at a key path; None where there is none."""
        value: Any = self.data
        for part in path:
            if isinstance(part, int):
                is_there = isinstance(value, list) and part < len(value)
            else:
                is_there = isinstance(value, Mapping) and part in value
            if not is_there:
                return None
            value = value[part]
        return value

    def text(self, *path: str | int) -> str | None:
        """Return a text."""
        value = self.get(*path)
        return value if isinstance(value, str) else None

    def number(self, *path: str | int) -> float | None:
        """Return a number; of a value written with its source, the value."""
        value = self.get(*path)
        if isinstance(value, Mapping):
            value = value.get("value")
        return value if isinstance(value, int | float) and not isinstance(value, bool) else None

    def date(self, *path: str | int) -> dt.date | None:
        """Return a date without a time."""
        value = self.get(*path)
        return value if isinstance(value, dt.date) and not isinstance(value, dt.datetime) else None

    def table(self, *path: str | int) -> Mapping[str, Any]:
        """Return a table, empty where there is none."""
        value = self.get(*path)
        return value if isinstance(value, Mapping) else {}

    def texts(self, *path: str | int) -> Iterator[tuple[KeyPath, str]]:
        """Yield the texts of a list with their paths."""
        value = self.get(*path)
        for index, item in enumerate(value if isinstance(value, list) else []):
            if isinstance(item, str):
                yield (*path, index), item

    def rows(self, *path: str | int) -> Iterator[KeyPath]:
        """Yield the paths of the tables in a list of tables."""
        value = self.get(*path)
        for index, item in enumerate(value if isinstance(value, list) else []):
            if isinstance(item, Mapping):
                yield (*path, index)

    def line(self, path: KeyPath) -> int | None:
        """Return the line of a key, or of the closest table around it."""
        mark = self.positions.nearest(path)
        return None if mark is None else mark.line

    def title(self, path: KeyPath) -> str:
        """Return a table as the file writes it: its header line, or its key where it is inline."""
        mark = self.positions.marks.get(path)
        if mark is None or not mark.is_header:
            return dotted(path)
        value = self.get(*path)
        return header(path, is_list=isinstance(value, list) or isinstance(path[-1], int))

    def problem(self, code: str, path: KeyPath, what: str, fix: str, key: str | None = None) -> Problem:
        """Return a mistake at a key path."""
        shown = dotted(path) if key is None else key
        return Problem(code=code, file=self.file, line=self.line(path), key=shown, what=what, fix=fix)
