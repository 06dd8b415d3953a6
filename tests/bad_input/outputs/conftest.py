"""A small season that has been run once, and the command line in this process, as a person sees it."""

import hashlib
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from geo_scout.pipeline import run
from tests.bad_input import command_line

Shell = Callable[..., tuple[int, str, str]]
# Two sites and no raster: what is written matters here, not what is computed.
SMALL_SEASON = Path(__file__).parent.parent / "rasters" / "base"


@pytest.fixture
def geo_scout(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    """Return a function that gives the exit code and what went to each stream."""

    def run(*words: str | Path) -> tuple[int, str, str]:
        capfd.readouterr()
        return command_line.geo_scout(capfd, monkeypatch, *map(str, words))

    return run


@pytest.fixture
def digests() -> Callable[[Path], dict[str, str]]:
    """Return a function that gives the digest of each output; only the log differs between equal runs."""

    def of_folder(folder: Path) -> dict[str, str]:
        return {
            path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in folder.rglob("*")
            if path.is_file() and path.name != "run_log.json"
        }

    return of_folder


@pytest.fixture(scope="session")
def first_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a season that has been run, with a note somebody keeps beside its outputs."""
    folder = tmp_path_factory.mktemp("first") / "x"
    shutil.copytree(SMALL_SEASON, folder)
    run(folder / "season.toml")
    (folder / "outputs" / "notes.txt").write_text("gate open", encoding="utf-8")
    return folder


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the season file of a fresh copy, from above whose folder the commands are given."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(SMALL_SEASON, tmp_path / "x")
    return tmp_path / "x" / "season.toml"


@pytest.fixture
def outputs(season: Path, first_run: Path) -> Path:
    """Return the season's outputs of its first run."""
    shutil.copytree(first_run / "outputs", season.parent / "outputs")
    return season.parent / "outputs"
