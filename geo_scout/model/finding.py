"""One thing noticed in a layer, graded; and the grades."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from geo_scout.model.visible_text import printable

Grade = Literal["stop", "caution", "note"]
GRADES: tuple[Grade, ...] = ("stop", "caution", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing noticed about a layer or one of its features.

    Parameters
    ----------
    code
        Stable name of the kind of finding.
    grade
        ``stop`` makes a whole layer untrue, ``caution`` changes what a reader should believe,
        ``note`` says what was done.
    layer
        Name of the layer in the season file.
    feature
        The user's id of the feature or its row number; empty for the whole layer.
    what
        The sentence, with values and units.
    fix
        What the user can do about it.
    longitude_deg, latitude_deg
        Where, when the finding has a place [deg].
    """

    code: str
    grade: Grade
    layer: str
    feature: str
    what: str
    fix: str
    longitude_deg: float | None = None
    latitude_deg: float | None = None

    def __post_init__(self) -> None:
        """Write out characters of the user's text that hide or reorder others."""
        for name in ("feature", "what", "fix"):
            object.__setattr__(self, name, printable(getattr(self, name)))

    def text(self) -> str:
        """Return the paragraph a person reads."""
        feature = f" feature {self.feature}" if self.feature else ""
        return f"{self.grade}: layers.{self.layer}{feature}\n  {self.what}\n  Fix: {self.fix}"


def first_of_each(findings: Iterable[Finding], at_most: int) -> list[Finding]:
    """Return the findings with at most so many of one code and layer; what is left is counted.

    Findings about a whole layer all stay.

    Parameters
    ----------
    findings
        Findings in their order.
    at_most
        How many of a kind stay.
    """
    kept: list[Finding] = []
    seen: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        if not finding.feature:
            kept.append(finding)
            continue
        alike = seen.setdefault((finding.code, finding.layer, finding.grade), [])
        alike.append(finding)
        if len(alike) <= at_most:
            kept.append(finding)
    for alike in seen.values():
        if (more := len(alike) - at_most) > 0:
            what = f"the same of {more:,} more: {alike[at_most].feature} and those after it."
            kept.append(replace(alike[at_most], feature="", what=what, longitude_deg=None, latitude_deg=None))
    return kept
