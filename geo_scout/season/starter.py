"""Copy the starter season kept in the package, whole or not at all."""

from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from geo_scout.season.new_files import write_new_files

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
    write_new_files(folder, _read_starter(), done="copied")
    return folder / "season.toml"


def _starter() -> Traversable:
    return files("geo_scout") / "starter"


def _read_starter() -> dict[str, bytes]:
    return {name: source.read_bytes() for name, source in _starter_files(_starter())}


def _starter_files(folder: Traversable, above: str = "") -> Iterator[tuple[str, Traversable]]:
    for item in sorted(folder.iterdir(), key=lambda item: item.name):
        if item.name in _SKIPPED:
            continue
        if item.is_dir():
            yield from _starter_files(item, f"{above}{item.name}/")
        else:
            yield f"{above}{item.name}", item
