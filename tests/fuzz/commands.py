"""The command line run inside this process, as the shell would: exit code, what was said, crash file."""

import io
import os
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from pyproj import Transformer

from geo_scout.cli.main import CRASH_FILE, main

EXIT_BUG = 70


@dataclass(frozen=True)
class Ended:
    """How a command ended.

    Parameters
    ----------
    code
        Exit code.
    said
        What it printed, both streams.
    crash
        The crash file's text, or what escaped the command line; empty where all went well.
    """

    code: int
    said: str
    crash: str


def run_command(arguments: list[str], folder: Path) -> Ended:
    """Run ``geo-scout`` with these arguments from an empty folder of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    with _from(folder), _as_shell(arguments) as (out, err), _kept_transformers():
        code, escaped = _code_of(main)
    said = "".join(stream.buffer.getvalue().decode("utf-8", "replace") for stream in (out, err))
    crash = folder / CRASH_FILE
    told = crash.read_text(encoding="utf-8") if crash.exists() else escaped
    crash.unlink(missing_ok=True)
    return Ended(code, said, told or (said if code == EXIT_BUG else ""))


def _code_of(command: object) -> tuple[int, str]:
    assert callable(command)
    try:
        # A warning on a user's screen is a fault of ours, too.
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            warnings.filterwarnings("ignore", "Use .@. matmul", PendingDeprecationWarning)
            command()
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else int(left.code is not None)
        return code, ""
    except BaseException as escaped:
        return EXIT_BUG, f"{type(escaped).__name__} escaped the command line: {escaped}"
    return 0, ""


@contextmanager
def _from(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


_open_transformer = lru_cache(maxsize=500)(Transformer.from_crs)


@contextmanager
def _kept_transformers() -> Iterator[None]:
    """Open each way between two reference systems once: a seventh of a small season's time goes into it."""
    before = Transformer.from_crs
    Transformer.from_crs = staticmethod(_open_transformer)  # type: ignore[method-assign]
    try:
        yield
    finally:
        Transformer.from_crs = staticmethod(before)  # type: ignore[method-assign]


class _Shell(io.TextIOWrapper):
    """A stream that keeps its bytes."""

    buffer: io.BytesIO


@contextmanager
def _as_shell(arguments: list[str]) -> Iterator[tuple[_Shell, _Shell]]:
    before = sys.argv, sys.stdout, sys.stderr
    out = _Shell(io.BytesIO(), encoding="utf-8", write_through=True)
    err = _Shell(io.BytesIO(), encoding="utf-8", errors="backslashreplace", write_through=True)
    sys.argv, sys.stdout, sys.stderr = ["geo-scout", *arguments], out, err
    try:
        yield out, err
    finally:
        sys.argv, sys.stdout, sys.stderr = before
