"""One run of the sample season by the command line, shared by the tests that look at it."""

import io
import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from geo_scout.cli import main

Done = subprocess.CompletedProcess[str]
Run = Callable[..., Done]


@pytest.fixture(scope="session")
def shell() -> Run:
    """Return a function that runs the command as a program of its own, in a folder of its own choosing."""

    def run(*arguments: str | Path, cwd: Path, **environment: str) -> Done:
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
def geo_scout() -> Run:
    """Return the same in this process, which saves the start of a program: two seconds each time."""

    def run(*arguments: str | Path, cwd: Path) -> Done:
        words = ["geo-scout", *map(str, arguments)]
        before = sys.argv, dict(os.environ)
        out, err = io.StringIO(), io.StringIO()
        code = 0
        try:
            sys.argv = words
            with chdir(cwd), redirect_stdout(out), redirect_stderr(err):
                main()
        except SystemExit as left:
            code = int(left.code or 0)
        finally:
            sys.argv = before[0]
            os.environ.clear()
            os.environ.update(before[1])
        return subprocess.CompletedProcess(words, code, out.getvalue(), err.getvalue())

    return run


@pytest.fixture(scope="session")
def sample_run(shell: Run, sample_season: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the outputs of the sample season, run from an empty folder."""
    folder = tmp_path_factory.mktemp("sample")
    done = shell("run", sample_season, "--outputs", folder / "outputs", cwd=folder)
    assert done.returncode == 0, done.stderr
    (folder / "console.txt").write_text(done.stdout, encoding="utf-8")
    return folder / "outputs"
