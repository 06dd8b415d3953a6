import os
from pathlib import Path

import pytest

from geo_scout.errors import InputMistakes, OutputsBlocked
from geo_scout.model.problem import Problem
from geo_scout.season import read_season, start_season, starter

FILES = {
    "season.toml": b"format = 1\n",
    "agents/beetle.toml": b"name\n",
    "layers/weeds.gpkg": b"\x00\xff\r\n",
}


@pytest.fixture
def small_starter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    source = tmp_path / "package/starter"
    for name, stored in FILES.items():
        (source / name).parent.mkdir(parents=True, exist_ok=True)
        (source / name).write_bytes(stored)
    (source / "__pycache__").mkdir()
    (source / "__pycache__/x.pyc").touch()
    (source / "__init__.py").touch()
    monkeypatch.setattr(starter, "_starter", lambda: source)
    return source


def contents(folder: Path) -> dict[str, bytes]:
    return {
        item.relative_to(folder).as_posix(): item.read_bytes() for item in folder.rglob("*") if item.is_file()
    }


def test_the_starter_of_the_package_can_be_read_where_it_was_copied(tmp_path: Path) -> None:
    path = start_season(tmp_path / "new/season")
    assert path == tmp_path / "new/season/season.toml"
    assert read_season(path).settings.crews


@pytest.mark.usefixtures("small_starter")
def test_every_file_is_copied_byte_for_byte(tmp_path: Path) -> None:
    start_season(str(tmp_path / "x"))
    assert contents(tmp_path / "x") == FILES


@pytest.mark.usefixtures("small_starter")
def test_other_files_in_the_folder_stay(tmp_path: Path) -> None:
    (tmp_path / "x/layers").mkdir(parents=True)
    (tmp_path / "x/layers/mine.gpkg").write_bytes(b"mine")
    start_season(tmp_path / "x")
    assert contents(tmp_path / "x") == FILES | {"layers/mine.gpkg": b"mine"}


@pytest.mark.usefixtures("small_starter")
def test_one_file_in_the_way_stops_everything(tmp_path: Path) -> None:
    (tmp_path / "x/agents").mkdir(parents=True)
    (tmp_path / "x/season.toml").write_bytes(b"mine")
    (tmp_path / "x/agents/beetle.toml").write_bytes(b"mine too")
    with pytest.raises(InputMistakes) as raised:
        start_season(tmp_path / "x")
    assert [problem.code for problem in raised.value.mistakes if isinstance(problem, Problem)] == [
        "file-exists"
    ]
    assert str(raised.value) == (
        f"error: {(tmp_path / 'x').as_posix()}\n"
        "  2 files of these names are there already: agents/beetle.toml, season.toml. Nothing was copied.\n"
        "  Fix: choose a new folder; geo-scout never overwrites."
    )
    assert contents(tmp_path / "x") == {"season.toml": b"mine", "agents/beetle.toml": b"mine too"}


@pytest.mark.usefixtures("small_starter")
@pytest.mark.parametrize("target", ["x", "x/y", "z"])
def test_a_file_where_a_folder_must_be_stops_everything(tmp_path: Path, target: str) -> None:
    (tmp_path / "x").write_bytes(b"mine")
    (tmp_path / "z").mkdir()
    (tmp_path / "z/layers").write_bytes(b"mine")
    before = contents(tmp_path)
    with pytest.raises(InputMistakes, match="this is a file; a folder is needed"):
        start_season(tmp_path / target)
    assert contents(tmp_path) == before


def test_a_copy_that_fails_half_way_is_taken_back(
    tmp_path: Path, small_starter: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "x").mkdir()
    (tmp_path / "x/mine.txt").write_bytes(b"mine")
    opened = Path.open

    def full_disk(path: Path, mode: str = "r") -> object:
        if path.name == "season.toml" and mode == "xb":
            raise OSError(28, os.strerror(28))
        return opened(path, mode)

    monkeypatch.setattr(Path, "open", full_disk)
    with pytest.raises(OutputsBlocked, match=r"cannot be written: .*\. Nothing was copied\."):
        start_season(tmp_path / "x")
    monkeypatch.undo()
    assert {item.name for item in (tmp_path / "x").iterdir()} == {"mine.txt"}
    assert contents(small_starter).keys() > {"season.toml"}


def test_no_season_is_started_among_the_results_of_a_run(tmp_path: Path) -> None:
    (tmp_path / "manifest.json").write_text("{}")
    with pytest.raises(InputMistakes, match="this folder holds the results of a run"):
        start_season(tmp_path)
    assert [item.name for item in tmp_path.iterdir()] == ["manifest.json"]
