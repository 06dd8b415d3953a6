"""Every folder beside this file holds weather or a profile with something wrong, and all that is said of it.

``command.txt`` is what a person types, from within the folder. Where there is a season file instead, its tables
are read and what was noticed in them is what is said; with a ``site.txt`` the season is run, and what is said are the
cautions and the notes on windows of that site.
"""

import shlex
from pathlib import Path

import pytest

from geo_scout.layers import read_layers
from geo_scout.model.columns import TABLE_LAYERS
from geo_scout.pipeline import run
from geo_scout.season import read_season
from tests.bad_input.command_line import contents, geo_scout

CASES = sorted(item.parent for item in Path(__file__).parent.glob("*/expected.txt"))


def said_by_command(case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> str:
    """Return exit code, output and errors, one after the other."""
    words = shlex.split((case / "command.txt").read_text(encoding="utf-8"))
    code, out, err = geo_scout(capsys, monkeypatch, *words)
    return f"exit code {code}\n{out}{err}"


def said_of_layers() -> str:
    found = read_layers(read_season("season.toml")).findings
    return "\n".join(one.text() for one in found if one.layer in TABLE_LAYERS) + "\n"


def said_of_site(site_id: str) -> str:
    result = run("season.toml", write=False)
    lines = []
    for ranking in result.rankings:
        row = ranking.table.set_index("site_id").loc[site_id]
        lines += [f"{ranking.role}: {row['cautions']}", f"{ranking.role} window: {row['window_note']}"]
    return "\n".join(lines) + "\n"


def said_in(case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> str:
    if (case / "command.txt").exists():
        return said_by_command(case, monkeypatch, capsys)
    if (case / "site.txt").exists():
        return said_of_site((case / "site.txt").read_text(encoding="utf-8").strip())
    return said_of_layers()


def test_the_cases_are_found() -> None:
    assert len(CASES) >= 51


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_whole_message(
    case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = contents(case)
    monkeypatch.chdir(case)
    said = said_in(case, monkeypatch, capsys)
    assert said == (case / "expected.txt").read_text(encoding="utf-8")
    assert "Traceback" not in said
    assert contents(case) == before
