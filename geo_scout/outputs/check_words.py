"""What a check found, as a person reads it and as JSON."""

import dataclasses
import json
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from geo_scout.model.finding import GRADES, Finding

_WIDTH = max(map(len, GRADES)) + 2


def tell_check(findings: Sequence[Finding], not_looked_at: Iterable[str]) -> str:
    """Return the findings grouped by layer, a line that counts them, and what was not looked at.

    Parameters
    ----------
    findings
        Findings in their order.
    not_looked_at
        One sentence each.
    """
    lines: list[str] = []
    for layer in dict.fromkeys(finding.layer for finding in findings):
        of_layer = [finding for finding in findings if finding.layer == layer]
        lines += [f"{layer}: {count_grades(of_layer)}", *(_told(finding) for finding in of_layer), ""]
    lines += [f"In all: {count_grades(findings)}.", "", "Not looked at:"]
    lines += [f"- {one}" for one in not_looked_at]
    return "\n".join(lines)


def count_grades(findings: Iterable[Finding]) -> str:
    """Return how many findings there are of each grade, in words.

    Examples
    --------
    >>> count_grades([])
    '0 stop, 0 caution, 0 note'
    """
    counts = Counter(finding.grade for finding in findings)
    return ", ".join(f"{counts[grade]} {grade}" for grade in GRADES)


def check_as_json(title: str, findings: Sequence[Finding], not_looked_at: Iterable[str]) -> dict[str, Any]:
    """Return the same as values that JSON can carry."""
    counts = Counter(finding.grade for finding in findings)
    return {
        "title": title,
        "counts": {grade: counts[grade] for grade in GRADES},
        "findings": [dataclasses.asdict(finding) for finding in findings],
        "not_looked_at": list(not_looked_at),
    }


def json_text(content: object) -> str:
    """Return JSON as it goes to a file or to the shell: indented, no nan, letters as they are."""
    return json.dumps(content, ensure_ascii=False, indent=2, allow_nan=False)


def _told(finding: Finding) -> str:
    feature = f"{finding.feature}: " if finding.feature else ""
    place = ""
    if finding.longitude_deg is not None and finding.latitude_deg is not None:
        place = f" [{finding.longitude_deg:.5f}, {finding.latitude_deg:.5f}]"
    return f"  {finding.grade:<{_WIDTH}}{feature}{finding.what}{place}\n{'':<{_WIDTH + 2}}Fix: {finding.fix}"
