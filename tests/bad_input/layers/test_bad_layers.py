"""Every folder beside this file is one broken layer with the whole message a person gets from a check.

``base`` is a season of which nothing is wrong. A case holds only what differs from it:

- files, which take the place of those of the same name or are added,
- ``changes.toml``, whose tables take the place of those of the same header in ``season.toml``; a table with
  nothing in it takes the base's away,
- ``expected.txt``, what ``geo-scout check season.toml`` prints, up to the list of what it did not look at, and
  the exit code. That list is the same for all and stands once in ``base/not_looked_at.txt``.

What is no text (a spreadsheet, a shapefile, letters of another encoding) is made by the function of the
case's name in ``made_files.py``.
"""

import re
import shutil
from pathlib import Path

import pytest

from tests.bad_input.command_line import STOPS, contents, geo_scout, makers, run_tells_the_same

HERE = Path(__file__).parent
BASE = HERE / "base"
CASES = sorted(item.parent for item in HERE.glob("*/expected.txt"))
MADE = makers(HERE / "made_files.py", ["write_"])
NOT_OF_THE_SEASON = ("expected.txt", "changes.toml", "not_looked_at.txt")


def tables(season: str) -> dict[str, str]:
    """Return header -> table of a season file, in their order; what stands above the first is left out."""
    parts = re.split(r"^(?=\[)", season, flags=re.MULTILINE)[1:]
    return {part.split("\n", 1)[0]: part.strip() for part in parts}


def lay_out(case: Path, folder: Path) -> None:
    """Lay a case over the base in a folder of its own."""
    for source in (BASE, case):
        ignored = shutil.ignore_patterns(*NOT_OF_THE_SEASON)
        shutil.copytree(source, folder, ignore=ignored, dirs_exist_ok=True)
    changes = case / "changes.toml"
    if changes.is_file():
        season = folder / "season.toml"
        merged = tables(season.read_text(encoding="utf-8")) | tables(changes.read_text(encoding="utf-8"))
        kept = ["format = 1", *(table for header, table in merged.items() if table != header)]
        season.write_text("\n\n".join(kept) + "\n", encoding="utf-8")
    if case.name in MADE:
        MADE[case.name](folder)


def not_looked_at(folder: Path, *, is_stopped: bool) -> list[str]:
    """Return the lines the base has at the end, without those about layers that this season does have."""
    season = (folder / "season.toml").read_text(encoding="utf-8")
    lines = (BASE / "not_looked_at.txt").read_text(encoding="utf-8").splitlines()
    return [
        line
        for line in lines
        if f"[layers.{line[2:].split(':')[0]}]" not in season
        and (is_stopped or not line.startswith("- the rasters under the sites"))
    ]


def test_the_cases_are_found_and_each_maker_has_one() -> None:
    assert len(CASES) >= 35
    assert set(MADE) <= {case.name for case in CASES}


def test_nothing_is_wrong_in_the_base(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    lay_out(BASE, tmp_path)
    monkeypatch.chdir(tmp_path)
    code, out, err = geo_scout(capfd, monkeypatch, "check", "season.toml")
    assert (code, err) == (0, "")
    tail = not_looked_at(tmp_path, is_stopped=False)
    assert out.splitlines() == ["In all: 0 stop, 0 caution, 0 note.", "", "Not looked at:", *tail]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_whole_message(
    case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    lay_out(case, tmp_path)
    before = contents(tmp_path)
    monkeypatch.chdir(tmp_path)
    code, out, err = geo_scout(capfd, monkeypatch, "check", "season.toml")
    told, _, tail = out.partition("\nNot looked at:\n")
    assert f"{err}{told}exit code {code}\n" == (case / "expected.txt").read_text(encoding="utf-8")
    stops = STOPS.findall(told)
    assert code == (2 if stops or err else 0)
    if err:
        # A mistake of the season file itself: no layer was opened.
        assert (out, err[:7]) == ("", "error: ")
    else:
        assert tail.splitlines() == not_looked_at(tmp_path, is_stopped=bool(stops))
    if code:
        assert run_tells_the_same(geo_scout(capfd, monkeypatch, "run", "season.toml"), err, told)
    assert contents(tmp_path) == before
