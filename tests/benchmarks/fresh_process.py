"""A program run in a process of its own: how long it took, how much memory it held, what it printed."""

import importlib.util
import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
# pyarrow is for baselines alone: where it is installed, pandas keeps text in another way, and geo_scout would be
# tested on other code than its users run. CI puts it into a folder of its own.
ARROW_FOLDER = HERE.parents[1] / "build" / "arrow"
HAS_ARROW = ARROW_FOLDER.is_dir() or importlib.util.find_spec("pyarrow") is not None


@dataclass(frozen=True)
class Ran:
    """What one run cost.

    Parameters
    ----------
    seconds
        From start to end, with the start of Python and all imports [s].
    processor_seconds
        Of all its threads [s].
    peak_mb
        Most memory it held at once [MB].
    printed
        Its standard output.
    """

    seconds: float
    processor_seconds: float
    peak_mb: float
    printed: str


def as_installed() -> dict[str, str]:
    """Return an environment in which Python keeps what it compiled, as where a package is installed."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def with_arrow_folder() -> dict[str, str]:
    """Return the environment of a baseline, in which pyarrow is found if it is there at all."""
    folders = [str(ARROW_FOLDER)] if ARROW_FOLDER.is_dir() else []
    folders += filter(None, [os.environ.get("PYTHONPATH")])
    return as_installed() | ({"PYTHONPATH": os.pathsep.join(folders)} if folders else {})


def run_fresh(*command: object, with_arrow: bool = False) -> Ran:
    """Run a Python program or ``-m module`` in a fresh process.

    The peak is that of ``ru_maxrss``, which begins at what the parent holds when it starts the child: keep the parent
    small.
    """
    start = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, "-W", "ignore", *map(str, command)],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env=with_arrow_folder() if with_arrow else as_installed(),
    )
    assert child.stdout is not None
    with child.stdout:
        printed = child.stdout.read()
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    assert child.returncode == 0, f"{command} ended with {child.returncode}"
    bytes_per_unit = 1 if sys.platform == "darwin" else 1024
    return Ran(seconds, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * bytes_per_unit / 2**20, printed)
