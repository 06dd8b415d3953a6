"""The backtest as files: two tables, suggested weights, a picture and the words, whole or not at all."""

from importlib.metadata import version
from pathlib import Path
from typing import Any

import pandas as pd

from geo_scout.model.backtest import CASE_COLUMNS, SKILL_COLUMNS, WEIGHT_COLUMNS, Backtest
from geo_scout.model.outcomes import PRIVATE_REASONS, UNTOLD, UNTOLD_WORDS
from geo_scout.model.result import Audience
from geo_scout.outputs.backtest_picture import backtest_svg
from geo_scout.outputs.backtest_words import tell_backtest
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.findings import write_json
from geo_scout.outputs.manifest import LIBRARIES
from geo_scout.outputs.rounding import round_table
from geo_scout.outputs.run_log import RunLog
from geo_scout.outputs.swap import MANIFEST, MARKER, replace_outputs
from geo_scout.outputs.whose_folder import read_whose

BACKTEST = "backtest"
WHOLE = ("release_count", "established_count", "missing_count")


def write_backtest(result: Backtest, folder: Path, audience: Audience, log: RunLog) -> None:
    """Write the backtest into a folder of its own, whole or not at all.

    Parameters
    ----------
    result
        What came of it.
    folder
        The folder; an earlier backtest in it is replaced.
    audience
        ``public`` copies do not say which ground was destroyed by a treatment.
    log
        Times so far; written last.

    Raises
    ------
    OutputsBlocked
        The folder holds other results or what geo_scout did not write, or cannot be written.
    """
    read_whose(folder, BACKTEST)
    title = result.season.settings.season.title
    weights = build_weights(result)
    with replace_outputs(folder) as new:
        write_csv(new / "backtest.csv", build_cases(result, audience))
        write_csv(new / "backtest_skill.csv", build_skill(result))
        if len(weights):
            write_csv(new / "backtest_weights.csv", weights)
        (new / "backtest.svg").write_text(backtest_svg(title, result), encoding="utf-8", newline="\n")
        words = tell_backtest(result, audience) + "\n"
        (new / "backtest.txt").write_text(words, encoding="utf-8", newline="\n")
        write_json(new / MANIFEST, _manifest(result, audience))
        log.write(new / "run_log.json")


def build_cases(result: Backtest, audience: Audience) -> pd.DataFrame:
    """Return one row per release, rounded: label, reason, and how its site stood on its day."""
    table = round_table(result.cases)
    if audience == "public":
        is_private = table["reason"].isin(PRIVATE_REASONS)
        for name, told in (("reason", UNTOLD), ("reason_words", UNTOLD_WORDS)):
            table[name] = table[name].mask(is_private, told)
    rest = [name for name in table.columns if name not in CASE_COLUMNS]
    return table[[*CASE_COLUMNS, *rest]]


def build_skill(result: Backtest) -> pd.DataFrame:
    """Return how well each rule did by each split, rounded."""
    table = _joined([one.skill for one in result.assessments], SKILL_COLUMNS)
    return round_table(table.assign(**{name: table[name].astype("Int64") for name in WHOLE}))


def build_weights(result: Backtest) -> pd.DataFrame:
    """Return the suggested weights, rounded; no rows where none are suggested."""
    return round_table(_joined([one.weights for one in result.assessments], WEIGHT_COLUMNS))


def _joined(parts: list[pd.DataFrame], columns: tuple[str, ...]) -> pd.DataFrame:
    full = [part for part in parts if len(part)]
    return pd.concat(full, ignore_index=True) if full else pd.DataFrame(columns=list(columns))


def _manifest(result: Backtest, audience: Audience) -> dict[str, Any]:
    season = result.season
    return {
        "written_by": MARKER,
        "version": version("geo-scout"),
        "what": BACKTEST,
        "title": season.settings.season.title,
        "as_of": f"{season.as_of:%Y-%m-%d}",
        "audience": audience,
        "libraries": {name: version(name) for name in LIBRARIES}
        | ({"scikit-learn": version("scikit-learn")} if len(build_weights(result)) else {}),
        "inputs": [
            {"name": one.name, "sha256": one.sha256, "size_bytes": one.size_bytes} for one in result.inputs
        ],
        "hindsight": list(result.hindsight),
        "releases": {
            one.agent: {
                "established": one.established,
                "failed": one.failed,
                "conclusion": one.conclusion,
                "needed_more": one.needed_more,
            }
            for one in result.assessments
        },
    }
