"""Outputs appear whole or not at all; an earlier run's outputs survive whatever goes wrong."""

import errno
import hashlib
import json
import os
import re
import shutil
import signal
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout

from geo_scout.errors import IN_PLACE, OutputsBlocked

MANIFEST, MARKER = "manifest.json", "geo_scout"
OUR_FILES = frozenset(
    {
        MANIFEST, "calendar.csv", "calendar.svg", "call_list.csv", "districts.csv", "districts.svg",
        "findings.csv", "findings.geojson", "findings.json", "map.html", "methods.csv", "methods.svg",
        "release_sites.csv", "release_sites.geojson", "releases.csv", "result.gpkg", "run_log.json",
        "scouting.csv", "sources.csv", "sources.geojson", "timelines.svg", "value_curves.svg", "visits.csv",
    }
)  # fmt: skip
"""What a run writes."""
BACKTEST_FILES = frozenset(
    {
        MANIFEST, "backtest.csv", "backtest.svg", "backtest.txt", "backtest_skill.csv",
        "backtest_weights.csv", "run_log.json",
    }
)  # fmt: skip
"""What a backtest writes, weights only where some are suggested."""
SWAP_PATIENCE_SECONDS = 60
# Names that nobody gives a folder of their own, because a folder so named is cleared away.
_WRITTEN, _REPLACED = ".being-written-", ".being-replaced"
# Results may be shared by people with accounts of their own, and so must be their lock.
_LOCK_MODE = 0o666
_NO_SPACE = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
_NO_RIGHT = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})


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
    KeyboardInterrupt
        With ``IN_PLACE`` where it came too late to stop anything; within the swap it is held back.

    Notes
    -----
    Written beside the folder as ``NAME.being-written-PID``; the swap is two renames under a lock, so two
    runs at once end with one of the two results, whole. Locks live in the temporary folder and die with
    their process, so the next run can tell a dead run's remains and clear them.
    """
    folder = folder.resolve()
    new = folder.with_name(f"{folder.name}{_WRITTEN}{os.getpid()}")
    is_swapped = False
    try:
        with _blocked_named(folder, new):
            _check_ours(folder)
            folder.parent.mkdir(parents=True, exist_ok=True)
            with _lock_of(folder).acquire(timeout=SWAP_PATIENCE_SECONDS):
                _tidy(folder)
            with _held(new), _cleared(new):
                yield new
                with _lock_of(folder).acquire(timeout=SWAP_PATIENCE_SECONDS), _undisturbed():
                    _tidy(folder)
                    _swap(folder, new)
                    is_swapped = True
    except KeyboardInterrupt:
        if is_swapped:
            raise KeyboardInterrupt(IN_PLACE) from None
        raise


@contextmanager
def _cleared(new: Path) -> Iterator[None]:
    """Make the folder that is written in first, and clear what is left of it."""
    try:
        shutil.rmtree(new, ignore_errors=True)
        new.mkdir()
        yield
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _swap(folder: Path, new: Path) -> None:
    old = _replaced(folder)
    if folder.exists():
        folder.rename(old)
    try:
        new.rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise
    if old.exists():
        # The new results are in place; what cannot be carried over or cleared now, the next run does.
        with suppress(OSError):
            _carry_over(old, folder)
            old.rename(new)
            shutil.rmtree(new, ignore_errors=True)


def _carry_over(old: Path, folder: Path) -> None:
    """Move what the user keeps beside our files into the new folder; nothing of theirs is lost."""
    for path in sorted(old.iterdir()):
        if path.name not in OUR_FILES | BACKTEST_FILES and not (folder / path.name).exists():
            path.rename(folder / path.name)


def _tidy(folder: Path) -> None:
    """Finish or undo a half swap, and clear what dead runs left."""
    old = _replaced(folder)
    if old.exists() and not folder.exists():
        old.rename(folder)
    elif old.exists():
        _carry_over(old, folder)
        shutil.rmtree(old)
    names = re.compile(re.escape(folder.name + _WRITTEN) + "[0-9]+")
    for remains in sorted(path for path in folder.parent.iterdir() if names.fullmatch(path.name)):
        try:
            with _held(remains):
                shutil.rmtree(remains, ignore_errors=True)
        except Timeout:
            continue  # its run is alive


def _replaced(folder: Path) -> Path:
    return folder.with_name(folder.name + _REPLACED)


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Hold back an interrupt until the block has ended."""
    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread is interrupted
        return
    held_back: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: held_back.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before or signal.SIG_DFL)
    if held_back:
        raise KeyboardInterrupt


def _check_ours(folder: Path) -> None:
    if not folder.exists():
        return
    if not folder.is_dir():
        message = (
            f"outputs: {folder} is a file; a folder is needed.\n"
            "  Fix: name a folder in [season] outputs or --outputs."
        )
        raise OutputsBlocked(message)
    held = sorted(path.name for path in folder.iterdir())
    if held and not _read_is_ours(folder / MANIFEST):
        message = (
            f"outputs: {folder} holds files geo_scout did not write ({', '.join(held[:3])}"
            f"{' ...' if len(held) > 3 else ''}); it will not replace them.\n"
            "  Fix: name a new folder in [season] outputs or --outputs."
        )
        raise OutputsBlocked(message)


def _read_is_ours(manifest: Path) -> bool:
    """Return whether a manifest is one of ours; other programs use the name as well."""
    if not manifest.is_file():
        return False
    try:
        content = json.loads(manifest.read_text(encoding="utf-8"))
    except ValueError:
        return False
    return isinstance(content, dict) and content.get("written_by") == MARKER


@contextmanager
def _blocked_named(folder: Path, new: Path) -> Iterator[None]:
    try:
        yield
    except Timeout as error:
        message = (
            f"outputs: another run has been swapping {folder} for {SWAP_PATIENCE_SECONDS} s.\n"
            "  Fix: wait for it to end, then run again."
        )
        raise OutputsBlocked(message) from error
    except OSError as error:
        # The folder it is written in first has a name that means nothing to a person.
        name = str(error.filename or folder).replace(str(new), str(folder))
        message = (
            f"outputs: {name} cannot be written or replaced: {error.strerror or error}.\n"
            f"  Fix: {_fix_of(error, folder)}, then run again. Earlier outputs are untouched."
        )
        raise OutputsBlocked(message) from error


def _fix_of(error: OSError, folder: Path) -> str:
    elsewhere = "name another folder in [season] outputs or --outputs"
    if error.errno in _NO_SPACE:
        return f"free some space on the disk, or {elsewhere}"
    if error.errno in _NO_RIGHT:
        return (
            f"close programs that hold files in it open, get the right to write in {folder.parent}, where "
            f"results are made before they are swapped in, or {elsewhere}"
        )
    return f"close programs that hold it open, check the disk and your rights to the folder, or {elsewhere}"


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """Hold a run's own lock, and leave no lock file behind.

    Raises
    ------
    Timeout
        Another process holds it.
    """
    lock = _lock_of(path)
    lock.acquire(timeout=0)
    try:
        yield
    finally:
        lock.release()
        with suppress(OSError):
            Path(lock.lock_file).unlink(missing_ok=True)


def _lock_of(path: Path) -> FileLock:
    digest = hashlib.sha256(os.fsencode(path)).hexdigest()[:24]
    return FileLock(Path(tempfile.gettempdir()) / f"geo_scout-{digest}.lock", mode=_LOCK_MODE)
