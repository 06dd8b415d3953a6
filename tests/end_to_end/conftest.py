"""One run of the sample season by the command line, shared by the tests that look at it."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture(scope="session")
def geo_scout() -> Run:
    """Return a function that runs the command in a folder of its own choosing."""

    def run(*arguments: str | Path, cwd: Path, **environment: str) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(
            [sys.executable, "-m", "geo_scout", *map(str, arguments)],
            cwd=cwd,
            env=os.environ | {"PYTHONIOENCODING": "utf-8"} | environment,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=300,
            check=False,
        )

    return run


@pytest.fixture(scope="session")
def sample_run(geo_scout: Run, sample_season: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the outputs of the sample season, run from an empty folder."""
    folder = tmp_path_factory.mktemp("sample")
    done = geo_scout("run", sample_season, "--outputs", folder / "outputs", cwd=folder)
    assert done.returncode == 0, done.stderr
    (folder / "console.txt").write_text(done.stdout, encoding="utf-8")
    return folder / "outputs"
