"""Runs that are interrupted or killed: the earlier results stay whole, and the next run tidies up.

A first run has left its results, with a note somebody keeps beside them. Then the season is changed, so that new
results are unlike the old ones, and a second run is stopped: at chosen points, and after seeded delays.
"""

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from geo_scout.season import start_season

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="kill -9 and fork are of POSIX"),
]

HERE = Path(__file__).parent
# Another title changes the map, and a site more in the rankings nearly all the rest.
TITLE, SIZE = ('title = "', 'title = "The second run of '), ("min_infested_ha = 0.2", "min_infested_ha = 0.0")
CALM = "interrupted; nothing was replaced."
PATIENCE_S = 60.0
Digests = dict[str, str]


def digests(folder: Path) -> Digests:
    """Return the digest of each output; the log differs between equal runs."""
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.iterdir()
        if path.name != "run_log.json"
    }


def wait_for(pattern: str, folder: Path) -> None:
    end = time.monotonic() + PATIENCE_S
    while not any(folder.glob(pattern)):
        assert time.monotonic() < end, pattern
        time.sleep(0.005)


@dataclass
class Season:
    """A season that has been run once, and changed since.

    Parameters
    ----------
    folder
        Its folder.
    old, new
        Digests of the results there are, and of those the next run makes.
    """

    folder: Path
    old: Digests
    new: Digests

    @property
    def outputs(self) -> Path:
        return self.folder / "outputs"

    def beside(self) -> list[str]:
        return sorted(path.name for path in self.folder.glob("outputs*"))


class Warm:
    """The process in which everything is loaded."""

    def __init__(self, season: Path, outputs: Path) -> None:
        command = [sys.executable, str(HERE / "warm_runs.py"), str(season), str(outputs)]
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        assert self.process.stdout.readline() == "loaded\n"

    def ask(self, request: dict[str, Any]) -> int:
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(f"{json.dumps(request)}\n")
        self.process.stdin.flush()
        return int(self.process.stdout.readline())

    def start(self, folder: Path, *halt: Any, words: tuple[str, ...] = ("run", "season.toml")) -> int:
        streams = {name: str(folder / name) for name in ("out", "err")}
        return self.ask({"words": words, "folder": str(folder), "halt": halt, **streams})

    def wait(self) -> int:
        return self.ask({})

    def run(self, folder: Path) -> int:
        self.start(folder)
        return self.wait()


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("interrupted") / "x"
    start_season(folder)
    return folder


@pytest.fixture(scope="module")
def warm(starter: Path) -> Iterator[Warm]:
    """Start the process; its loading is the good first run."""
    process = Warm(starter / "season.toml", starter / "outputs")
    yield process
    process.process.communicate()
    assert process.process.returncode == 0


@pytest.fixture(scope="module")
def changed(starter: Path, warm: Warm) -> Season:
    """Return the season after its first run, with another title, and what a whole second run would make."""
    season = starter / "season.toml"
    text = season.read_text(encoding="utf-8")
    (starter / "outputs" / "notes.txt").write_text("gate open", encoding="utf-8")
    season.write_text(text.replace(*TITLE).replace(*SIZE), encoding="utf-8")
    warm.start(starter, words=("run", "season.toml", "--outputs", "second"))
    assert warm.wait() == 0
    note = {"notes.txt": hashlib.sha256(b"gate open").hexdigest()}
    old, new = digests(starter / "outputs"), digests(starter / "second") | note
    assert old.keys() == new.keys()
    assert {name for name in old if old[name] == new[name]} == {
        "calendar.csv",
        "call_list.csv",
        "districts.csv",
        "notes.txt",
        "releases.csv",
        "visits.csv",
    }
    return Season(starter, old, new)


@pytest.fixture
def season(changed: Season, tmp_path: Path) -> Season:
    shutil.copytree(changed.folder, tmp_path / "x", ignore=shutil.ignore_patterns("second"))
    return Season(tmp_path / "x", changed.old, changed.new)


def look_after_interrupt(season: Season, code: int, said: str) -> None:
    """Look for the exit code, the one calm line, the old results and nothing else."""
    # The terminal shows ^C, so the line begins a new one.
    assert (code, said) == (130, f"\n{CALM}\n")
    assert digests(season.outputs) == season.old
    assert season.beside() == ["outputs"]


def look_after_kill(season: Season, warm: Warm) -> None:
    """Look for whole results, old or new, in their place or set aside, and for what the next run leaves."""
    aside = season.folder / "outputs.being-replaced"
    there = season.outputs if season.outputs.exists() else aside
    found = digests(there)
    if "notes.txt" not in found:
        found |= {"notes.txt": digests(aside)["notes.txt"]}
    assert found in (season.old, season.new)
    assert warm.run(season.folder) == 0
    assert (season.folder / "err").read_text(encoding="utf-8") == ""
    assert digests(season.outputs) == season.new
    assert season.beside() == ["outputs"]


# Kind of call, part of its path, which one: from the reading of the season to the last file written.
POINTS = {
    "reading the season": ("open", "season.toml", 1),
    "reading layers": ("open", "/tmin.tif", 1),
    "making the folder": ("os.mkdir", ".being-written-", 1),
    "writing the first table": ("open", "/release_sites.csv", 1),
    "drawing the map": ("open", "/map.html", 1),
    "writing the last file": ("open", "/run_log.json", 1),
}
# Within the swap: the old results are away, the new ones in, the note carried over, the old ones set aside.
SWAP = {
    "between old and new": ("os.rename", "/outputs", 2),
    "before the note is carried over": ("os.rename", "/notes.txt", 1),
    "before the old ones can be cleared": ("os.rename", "/outputs.being-replaced", 2),
    "while the old ones are cleared": ("os.remove", "", 3),
}


@pytest.mark.parametrize("point", POINTS)
def test_an_interrupt_is_calm_and_changes_nothing(warm, season, point):
    process = warm.start(season.folder, *POINTS[point])
    wait_for("ready", season.folder)
    os.kill(process, signal.SIGINT)
    code = warm.wait()
    look_after_interrupt(season, code, (season.folder / "err").read_text(encoding="utf-8"))


@pytest.mark.parametrize("point", ["between old and new", "while the old ones are cleared"])
def test_an_interrupt_within_the_swap_waits_for_it(warm, season, point):
    process = warm.start(season.folder, *SWAP[point])
    wait_for("ready", season.folder)
    os.kill(process, signal.SIGINT)
    (season.folder / "go").touch()
    assert warm.wait() == 130
    said = (season.folder / "err").read_text(encoding="utf-8")
    assert said == "\ninterrupted; the new results are in place, whole.\n"
    assert digests(season.outputs) == season.new
    assert season.beside() == ["outputs"]


@pytest.mark.parametrize("point", ["drawing the map", *SWAP])
def test_whatever_a_killed_run_leaves_is_whole_and_tidied_up(warm, season, point):
    process = warm.start(season.folder, *(POINTS | SWAP)[point])
    wait_for("ready", season.folder)
    os.kill(process, signal.SIGKILL)
    assert warm.wait() == -signal.SIGKILL
    look_after_kill(season, warm)


DELAYS = random.Random(2027)
MOMENTS = [(DELAYS.uniform(0.02, 0.6), name) for name in ("SIGINT", "SIGKILL") * 3]


@pytest.mark.parametrize(("delay_s", "name"), MOMENTS, ids=[f"{name} {delay:.3f}" for delay, name in MOMENTS])
def test_any_moment_is_as_good(warm, season, delay_s, name):
    """The run may have ended by then on a fast machine; then its results must be the new ones."""
    process = warm.start(season.folder)
    wait_for("begun", season.folder)
    time.sleep(delay_s)
    os.kill(process, signal.Signals[name])
    code = warm.wait()
    if code == 0:
        assert digests(season.outputs) == season.new
    elif name == "SIGINT":
        look_after_interrupt(season, code, (season.folder / "err").read_text(encoding="utf-8"))
    else:
        assert code == -signal.SIGKILL
        look_after_kill(season, warm)


@pytest.mark.parametrize("name", ["SIGINT", "SIGKILL"])
def test_the_command_of_the_shell_is_stopped_in_the_midst_of_writing(warm, season, name):
    command = [sys.executable, "-m", "geo_scout", "run", "season.toml"]
    process = subprocess.Popen(
        command, cwd=season.folder, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    wait_for("outputs.being-written-*/result.gpkg", season.folder)
    process.send_signal(signal.Signals[name])
    out, err = process.communicate()
    assert out == ""
    if name == "SIGINT":
        look_after_interrupt(season, process.returncode, err)
    else:
        assert process.returncode == -signal.SIGKILL
        assert len(season.beside()) == 2
        look_after_kill(season, warm)
