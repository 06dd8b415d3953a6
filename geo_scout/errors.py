"""The error tree: what can stop geo_scout, and what the shell is told.

::

    GeoScoutError
    ├── InputMistakes      the season file, a profile or a layer is wrong     exit 2
    ├── OutputsBlocked     the outputs folder cannot be written or swapped    exit 2
    └── UnknownSite        a site was asked for that the season does not have exit 2

InputMistakes carries every mistake found, each of which can print itself; nothing has been
written when it is raised. OutputsBlocked leaves an earlier run's outputs as they were.
A season in which every site is left out is no error: its outputs say which limit removed how many,
and the command line ends with 3. Any other exception is a fault of ours: the command line writes a
crash file and ends with 70. An interrupt ends with 130.
"""

from collections.abc import Sequence
from typing import ClassVar, Protocol


class Printable(Protocol):
    """Anything that prints itself as a paragraph for a person."""

    def text(self) -> str:
        """Return the paragraph."""
        ...


class GeoScoutError(Exception):
    """The root of what geo_scout raises on purpose."""

    exit_code: ClassVar[int] = 2


class InputMistakes(GeoScoutError):
    """The season file, an agent profile or a layer is wrong.

    Parameters
    ----------
    mistakes
        Every mistake found, in the order of the file.
    """

    def __init__(self, mistakes: Sequence[Printable]) -> None:
        self.mistakes = tuple(mistakes)
        super().__init__("\n".join(mistake.text() for mistake in self.mistakes))


class OutputsBlocked(GeoScoutError):
    """The outputs folder cannot be written or swapped; the earlier outputs are untouched."""


class UnknownSite(GeoScoutError):
    """A site was asked for that the season does not have."""


EXIT_DONE = 0
EXIT_NOTHING_FEASIBLE = 3
EXIT_BUG = 70
EXIT_INTERRUPTED = 130
# What a KeyboardInterrupt says that came too late to stop anything.
IN_PLACE = "the new results are in place, whole."
