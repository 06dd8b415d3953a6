"""Paths written in a season file: how they are written, and whether something is there."""

from collections.abc import Iterator
from pathlib import Path

from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.suggest import nearest
from geo_scout.season.wording import KeyPath, is_control, listed, show_value, toml_value, visible

# Common systems keep names of 255 bytes and paths of 4,096; half of that is left for the folder above.
LONGEST_NAME_BYTES, LONGEST_PATH_BYTES = 255, 2_048
_LETTER_AFTER_SLASH = {"\t": "t", "\n": "n", "\r": "r", "\b": "b", "\f": "f", "\x1b": "e"}
_NAMES = {
    "\\": "a backslash",
    "\t": "a tab",
    "\n": "a line feed",
    "\r": "a carriage return",
    "\b": "a backspace",
    "\f": "a form feed",
    "\x1b": "an escape",
}


def check_written(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a path with a backslash or a control character, or of an empty one."""
    written = document.text(*path)
    if written is None:
        return
    if not written.strip():
        yield document.problem("bad-path", path, "this path is empty.", "write the path of a file.")
    if _is_too_long(written):
        what = (
            f"{show_value(written)} is longer than any system allows: {LONGEST_NAME_BYTES} bytes for a name, "
            f"{LONGEST_PATH_BYTES:,} for a whole path."
        )
        yield document.problem("bad-path", path, what, "write the path of a file that is there.")
    wrong = [character for character in dict.fromkeys(written) if is_control(character) or character == "\\"]
    if wrong:
        names = [_NAMES.get(character, "a control character") for character in wrong]
        what = (
            f"{show_value(written)} holds {listed(list(dict.fromkeys(names)), last='and')}; "
            "in a TOML text a backslash starts a special character."
        )
        yield document.problem("bad-path", path, what, f"write {_assigned(path, with_slashes(written))}")


def is_well_written(written: str) -> bool:
    """Return whether a path can be looked up at all."""
    is_clean = not any(is_control(letter) or letter == "\\" for letter in written)
    return bool(written.strip()) and is_clean and not _is_too_long(written)


def _is_too_long(written: str) -> bool:
    names = [len(name.encode("utf-8", errors="replace")) for name in written.split("/")]
    return max(names) > LONGEST_NAME_BYTES or sum(names) + len(names) > LONGEST_PATH_BYTES


def with_slashes(written: str) -> str:
    r"""Return the path the user meant: backslashes, and what TOML made of them, become slashes.

    >>> with_slashes("C:\temp" + chr(92) + "map.shp")
    'C:/temp/map.shp'
    """
    parts = []
    for character in written:
        if character == "\\":
            parts.append("/")
        elif character in _LETTER_AFTER_SLASH:
            parts.append("/" + _LETTER_AFTER_SLASH[character])
        elif not is_control(character):
            parts.append(character)
    return "".join(parts).replace("//", "/")


def check_file(
    document: Document, path: KeyPath, folder: Path, *, folders: tuple[str, ...] = ()
) -> Iterator[Problem]:
    """Yield the mistake of a path that leads to no file.

    Parameters
    ----------
    document, path
        Where the path is written.
    folder
        Folder it starts from.
    folders
        Endings of folders that count as one file, such as ``.gdb``.
    """
    written = document.text(*path)
    if written is None or not is_well_written(written):
        return
    target = folder / written
    if target.is_file() or (target.is_dir() and target.suffix.casefold() in folders):
        return
    if target.is_dir():
        what = f"{show_value(written)} is a folder; a file is needed."
        yield document.problem("is-directory", path, what, _inside(path, written, target))
    elif target.exists():
        what = f"{show_value(written)} is neither a file nor a folder, but a pipe or a device."
        yield document.problem("bad-path", path, what, "give a file that can be read again and again.")
    else:
        what, fix = missing_file(written, target, folder)
        yield document.problem("file-missing", path, what, fix.format(key=path[-1]))


def missing_file(written: str, target: Path, folder: Path) -> tuple[str, str]:
    """Return what is missing, the file or a folder on the way, and the nearest name that is there."""
    if target.is_symlink():
        what = f"'{visible(written)}' is a link that leads to no file."
        return what, "mend the link, or put the file itself there."
    gone = target
    while not gone.parent.is_dir() and gone.parent != gone:
        gone = gone.parent
    kind = "file" if gone == target else "folder"
    there = sorted(item.name for item in gone.parent.iterdir()) if gone.parent.is_dir() else []
    same_stem = (name for name in there if Path(name).stem.casefold() == gone.stem.casefold())
    close = nearest(gone.name, there) or next(same_stem, None)
    shown = written if kind == "file" else _as_written(gone, folder)
    what = f"there is no {kind} '{visible(shown)}'."
    if close is not None:
        return what, f"did you mean '{visible(_as_written(gone.with_name(close), folder))}'?"
    return what, "check the name; paths start from the folder of the season file."


def _as_written(target: Path, folder: Path) -> str:
    try:
        return target.relative_to(folder).as_posix()
    except ValueError:
        return target.as_posix()


def _inside(path: KeyPath, written: str, target: Path) -> str:
    files = sorted(item.name for item in target.iterdir() if item.is_file())
    if not files:
        return "write the path of a file."
    first = written.rstrip("/") + "/" + files[0]
    return f"name the file in it, for example {_assigned(path, first)}"


def _assigned(path: KeyPath, written: str) -> str:
    value = toml_value(written)
    return f"{path[-1]} = {value}" if isinstance(path[-1], str) else value
