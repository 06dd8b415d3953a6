"""One mistake in a season file or a profile: where, what, how to mend it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake of the user, with a stable code for tests.

    Parameters
    ----------
    code
        Stable name of the kind of mistake, for example ``out-of-range``.
    file
        Name of the file as the user wrote it.
    line
        Line number from 1; None where the file has no such line.
    key
        Dotted key, table or layer the mistake is at.
    what
        What is wrong, with the offending value, its unit and the limit.
    fix
        A line that can be pasted, or the nearest valid name.
    """

    code: str
    file: str
    line: int | None
    key: str
    what: str
    fix: str

    def text(self) -> str:
        """Return the paragraph a person reads."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        head = f"error: {place} {self.key}".rstrip()
        return f"{head}\n  {self.what}\n  Fix: {self.fix}"
