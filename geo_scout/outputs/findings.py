"""Findings, questions of law and standing cautions as tables and JSON."""

import dataclasses
import json
from collections.abc import Iterable
from pathlib import Path

import pandas as pd

from geo_scout.model.cautions import STANDING_CAUTIONS
from geo_scout.model.finding import Finding
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.csv_tables import write_csv

FIELDS = tuple(field.name for field in dataclasses.fields(Finding))


def findings_table(findings: Iterable[Finding]) -> pd.DataFrame:
    """Return the findings, one row each, in the order they were found."""
    return pd.DataFrame([dataclasses.astuple(finding) for finding in findings], columns=list(FIELDS))


def write_findings_csv(path: Path, findings: Iterable[Finding]) -> None:
    """Write the findings as a table."""
    write_csv(path, findings_table(findings))


def write_findings_json(path: Path, result: SeasonResult) -> None:
    """Write questions of law, standing cautions and findings as JSON."""
    content = {
        "stop_and_ask": [question.text() for question in result.questions],
        "cautions": list(STANDING_CAUTIONS),
        "findings": [dataclasses.asdict(finding) for finding in result.findings],
    }
    write_json(path, content)


def write_json(path: Path, content: object) -> None:
    """Write JSON with LF line ends and no nan."""
    text = json.dumps(content, ensure_ascii=False, indent=2, allow_nan=False)
    path.write_text(text + "\n", encoding="utf-8", newline="\n")
