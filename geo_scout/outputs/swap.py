"""Outputs appear whole or not at all; an earlier run's outputs survive whatever goes wrong."""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from geo_scout.errors import OutputsBlocked

MANIFEST = "manifest.json"
OUR_FILES = frozenset(
    {
        MANIFEST, "call_list.csv", "findings.csv", "findings.geojson", "findings.json", "map.html",
        "release_sites.csv", "release_sites.geojson", "result.gpkg", "run_log.json", "sources.csv",
        "sources.geojson",
    }
)  # fmt: skip
SWAP_PATIENCE_SECONDS = 60


@contextmanager
def replace_outputs(folder: Path) -> Iterator[Path]:
    """Yield an empty folder; when the block ends well it takes the place of ``folder``.

    Parameters
    ----------
    folder
        The outputs folder. An earlier run's outputs are replaced; files the user keeps beside them are
        carried over; a folder that holds no outputs of ours is refused.

    Raises
    ------
    OutputsBlocked
        The folder holds what geo_scout did not write, cannot be written, or a file in it is open
        elsewhere. The earlier outputs are as they were.

    Notes
    -----
    Written beside the folder as ``NAME.new-PID``; the swap is two renames under a lock, so two runs
    at once end with one of the two results, whole. Locks live in the temporary folder and die with
    their process, so the next command can tell a dead run's remains and clear them.
    """
    folder = folder.resolve()
    _check_ours(folder)
    new = folder.with_name(f"{folder.name}.new-{os.getpid()}")
    with _blocked_named(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with _lock_of(folder).acquire(timeout=SWAP_PATIENCE_SECONDS):
            _tidy(folder)
    with _lock_of(new):
        try:
            with _blocked_named(folder):
                shutil.rmtree(new, ignore_errors=True)
                new.mkdir()
                yield new
                with _lock_of(folder).acquire(timeout=SWAP_PATIENCE_SECONDS):
                    _tidy(folder)
                    _swap(folder, new)
        finally:
            shutil.rmtree(new, ignore_errors=True)


def _swap(folder: Path, new: Path) -> None:
    old = folder.with_name(f"{folder.name}.old")
    if folder.exists():
        folder.rename(old)
    try:
        new.rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise
    if old.exists():
        _carry_over(old, folder)
        shutil.rmtree(old, ignore_errors=True)


def _carry_over(old: Path, folder: Path) -> None:
    """Move what the user keeps beside our files into the new folder; nothing of theirs is lost."""
    for path in sorted(old.iterdir()):
        if path.name not in OUR_FILES and not (folder / path.name).exists():
            path.rename(folder / path.name)


def _tidy(folder: Path) -> None:
    """Finish or undo a half swap, and clear what dead runs left."""
    old = folder.with_name(f"{folder.name}.old")
    if old.exists() and not folder.exists():
        old.rename(folder)
    elif old.exists() and (old / MANIFEST).exists():
        _carry_over(old, folder)
        shutil.rmtree(old)
    for remains in sorted(folder.parent.glob(f"{folder.name}.new-*")):
        try:
            with _lock_of(remains).acquire(timeout=0):
                shutil.rmtree(remains, ignore_errors=True)
        except Timeout:
            continue  # its run is alive


def _check_ours(folder: Path) -> None:
    if not folder.exists():
        return
    if not folder.is_dir():
        message = f"outputs: {folder} is a file.\n  Fix: name a folder in [season] outputs or --outputs."
        raise OutputsBlocked(message)
    held = sorted(path.name for path in folder.iterdir())
    if held and MANIFEST not in held:
        message = (
            f"outputs: {folder} holds files geo_scout did not write ({', '.join(held[:3])}"
            f"{' ...' if len(held) > 3 else ''}); it will not replace them.\n"
            "  Fix: name a new folder in [season] outputs or --outputs."
        )
        raise OutputsBlocked(message)


@contextmanager
def _blocked_named(folder: Path) -> Iterator[None]:
    try:
        yield
    except Timeout as error:
        message = (
            f"outputs: another run has been swapping {folder} for {SWAP_PATIENCE_SECONDS} s.\n"
            "  Fix: wait for it to end, then run again."
        )
        raise OutputsBlocked(message) from error
    except OSError as error:
        name = error.filename or folder
        message = (
            f"outputs: {name} cannot be written or replaced: {error.strerror or error}.\n"
            "  Fix: close programs that hold it open, check the disk's free space and your rights to the "
            "folder, then run again. Earlier outputs are untouched."
        )
        raise OutputsBlocked(message) from error


def _lock_of(path: Path) -> FileLock:
    digest = hashlib.sha256(os.fsencode(path)).hexdigest()[:24]
    return FileLock(Path(tempfile.gettempdir()) / f"geo_scout-{digest}.lock")
