"""Copy the starter season kept in the package, whole or not at all."""

from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from geo_scout.errors import InputMistakes, OutputsBlocked
from geo_scout.model.problem import Problem
from geo_scout.season.wording import visible

_SKIPPED = ("__init__.py", "__pycache__")


def start_season(folder: str | Path) -> Path:
    """Return the season file of a starter season copied into a folder.

    The folder is made when it is not there. Nothing is ever overwritten: when one file of the starter
    is there already, nothing is copied. When the copying fails, what was copied is taken away again.

    Parameters
    ----------
    folder
        Where to put the starter.

    Raises
    ------
    InputMistakes
        With every file that is already there.
    OutputsBlocked
        The folder cannot be written.
    """
    folder = Path(folder)
    copies = {folder / name: source for name, source in _starter_files(_starter())}
    problems = list(_obstacles(folder, list(copies)))
    if problems:
        raise InputMistakes(problems)
    made: list[Path] = []
    try:
        for target, source in copies.items():
            _make_folders(target.parent, made)
            with target.open("xb") as stream:
                made.append(target)
                stream.write(source.read_bytes())
    except BaseException as error:
        _take_away(made)
        if isinstance(error, OSError):
            message = f"{visible(str(folder))} cannot be written: {error.strerror}. Nothing was copied."
            raise OutputsBlocked(message) from error
        raise
    return folder / "season.toml"


def _starter() -> Traversable:
    return files("geo_scout") / "starter"


def _starter_files(folder: Traversable, above: str = "") -> Iterator[tuple[str, Traversable]]:
    for item in sorted(folder.iterdir(), key=lambda item: item.name):
        if item.name in _SKIPPED:
            continue
        if item.is_dir():
            yield from _starter_files(item, f"{above}{item.name}/")
        else:
            yield f"{above}{item.name}", item


def _obstacles(folder: Path, targets: list[Path]) -> Iterator[Problem]:
    """Yield a mistake for each file that would be overwritten or that stands where a folder must be."""
    fix = "choose a new folder; geo-scout never overwrites."
    in_the_way = [
        item for item in dict.fromkeys((folder, *folder.parents)) if item.exists() and not item.is_dir()
    ]
    folders = dict.fromkeys(target.parent for target in targets if target.parent != folder)
    in_the_way += [item for item in folders if item.exists() and not item.is_dir()]
    for item in in_the_way:
        what = "this is a file; a folder is needed. Nothing was copied."
        yield Problem("file-exists", visible(item.as_posix()), None, "", what, fix)
    for target in targets:
        if target.exists() or target.is_symlink():
            what = "there is a file with this name already. Nothing was copied."
            yield Problem("file-exists", visible(target.as_posix()), None, "", what, fix)


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
