"""What the folders of broken seasons share: the command line run in this process, and a folder's contents."""

import hashlib
import re
import runpy
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from geo_scout.cli import main

Shell = tuple[int, str, str]
STOPS = re.compile(r"^  stop +(.*)\n +Fix: (.*)$", re.MULTILINE)
SAID = re.compile(r"^  (.*)\n  Fix: (.*)$", re.MULTILINE)


def geo_scout(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *words: str) -> Shell:
    """Run the command line in this process; return its exit code and what went to each stream."""
    monkeypatch.setattr(sys, "argv", ["geo-scout", *words])
    code = 0
    try:
        main()
    except SystemExit as left:
        code = int(left.code or 0)
    return code, *capfd.readouterr()


def contents(folder: Path) -> dict[str, str]:
    """Return every path below a folder with the digest of its bytes."""
    return {
        item.relative_to(folder).as_posix(): hashlib.sha256(item.read_bytes()).hexdigest()
        if item.is_file()
        else "folder"
        for item in folder.rglob("*")
    }


def makers(path: Path, other_names: Sequence[str]) -> dict[str, Callable[..., Any]]:
    """Return the functions of a file that each make the files of the case of their name."""
    made = runpy.run_path(str(path), run_name=path.stem)
    return {
        name: one
        for name, one in made.items()
        if getattr(one, "__module__", "") == path.stem and not name.startswith(tuple(other_names))
    }


def run_tells_the_same(shell: Shell, err: str, told: str) -> bool:
    """Return whether a run ends with what the check before it stopped at, and says nothing else."""
    code, out, said = shell
    if (code, out) != (2, ""):
        return False
    return said == err if err else SAID.findall(said) == STOPS.findall(told)
