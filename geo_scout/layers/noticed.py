"""What was noticed in one layer, collected while it is read; nothing here raises."""

from dataclasses import dataclass, field
from pathlib import Path

from geo_scout.model.finding import Finding, Grade


class LayerRefused(Exception):
    """A layer cannot be opened or described; becomes a stop finding and goes no further.

    Parameters
    ----------
    what, fix
        The sentences of the finding.
    code
        Stable name of the kind of finding.
    """

    def __init__(self, what: str, *, code: str, fix: str) -> None:
        super().__init__(what)
        self.code, self.what, self.fix = code, what, fix


@dataclass
class Noticed:
    """The findings of one layer so far.

    Parameters
    ----------
    name
        Name of the layer in the season file.
    findings
        Findings in the order they were made.
    """

    name: str
    findings: list[Finding] = field(default_factory=list)

    def say(self, code: str, grade: Grade, what: str, fix: str) -> None:
        """Add a finding about the whole layer."""
        self.findings.append(Finding(code, grade, self.name, "", what, fix))

    def refuse(self, refused: LayerRefused) -> None:
        """Add the stop finding of a refusal."""
        self.say(refused.code, "stop", refused.what, refused.fix)

    @property
    def is_stopped(self) -> bool:
        """Whether something makes the whole layer untrue."""
        return any(finding.grade == "stop" for finding in self.findings)


def first_words(said: object, path: Path | str, written: str) -> str:
    """Return the first line a library said, the file named as the season names it.

    Findings go into the outputs, which must not hold folders of one machine.
    """
    line = (str(said).splitlines() or [type(said).__name__])[0]
    for name in (str(path), Path(path).as_posix()):
        line = line.replace(name, written)
    return line
