"""New files in a folder, whole or not at all; nothing that is there is ever overwritten."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from geo_scout.errors import InputMistakes, OutputsBlocked
from geo_scout.model.problem import Problem
from geo_scout.season.wording import visible

_NAMED_AT_MOST = 3
_MANIFEST = "manifest.json"


def write_new_files(folder: Path, contents: Mapping[str, bytes], *, done: str) -> None:
    """Write files into a folder, which is made when it is not there.

    When one of the files is there already, nothing is written. When the writing fails, what was written
    is taken away again.

    Parameters
    ----------
    folder
        Where to.
    contents
        Bytes by path inside the folder, ``/`` between folders.
    done
        What was not done, for the sentences: ``copied`` or ``written``.

    Raises
    ------
    InputMistakes
        With every file that is already there.
    OutputsBlocked
        The folder cannot be written.
    """
    targets = {folder / name: stored for name, stored in contents.items()}
    refuse_obstacles(folder, list(targets), done=done)
    made: list[Path] = []
    try:
        for target, stored in targets.items():
            _make_folders(target.parent, made)
            with target.open("xb") as stream:
                made.append(target)
                stream.write(stored)
    except BaseException as error:
        _take_away(made)
        if isinstance(error, OSError):
            message = f"{visible(str(folder))} cannot be written: {error.strerror}. Nothing was {done}."
            raise OutputsBlocked(message) from error
        raise


def refuse_obstacles(folder: Path, targets: list[Path], *, done: str) -> None:
    """Raise with each file that would be overwritten or that stands where a folder must be.

    Raises
    ------
    InputMistakes
        With all of them.
    """
    problems = list(_obstacles(folder, targets, done))
    if problems:
        raise InputMistakes(problems)


def _obstacles(folder: Path, targets: list[Path], done: str) -> Iterator[Problem]:
    fix = "choose a new folder; geo-scout never overwrites."
    in_the_way = [
        item for item in dict.fromkeys((folder, *folder.parents)) if item.exists() and not item.is_dir()
    ]
    folders = dict.fromkeys(target.parent for target in targets if target.parent != folder)
    in_the_way += [item for item in folders if item.exists() and not item.is_dir()]
    for item in in_the_way:
        what = f"this is a file; a folder is needed. Nothing was {done}."
        yield Problem("file-exists", visible(item.as_posix()), None, "", what, fix)
    if (folder / _MANIFEST).is_file():
        what = (
            f"this folder holds the results of a run, which the next one would replace. Nothing was {done}."
        )
        yield Problem("file-exists", visible(folder.as_posix()), None, "", what, "choose a new folder.")
    there = [target for target in targets if target.exists() or target.is_symlink()]
    if len(there) == 1:
        what = f"there is a file with this name already. Nothing was {done}."
        yield Problem("file-exists", visible(there[0].as_posix()), None, "", what, fix)
    elif there:
        names = [visible(target.relative_to(folder).as_posix()) for target in there]
        more = len(names) - _NAMED_AT_MOST
        named = ", ".join(names[:_NAMED_AT_MOST]) + (f" and {more} more" if more > 0 else "")
        what = f"{len(names)} files of these names are there already: {named}. Nothing was {done}."
        yield Problem("file-exists", visible(folder.as_posix()), None, "", what, fix)


def _make_folders(folder: Path, made: list[Path]) -> None:
    for item in reversed((folder, *folder.parents)):
        if not item.exists():
            item.mkdir()
            made.append(item)


def _take_away(made: list[Path]) -> None:
    for item in reversed(made):
        if item.is_dir():
            item.rmdir()
        else:
            item.unlink(missing_ok=True)
