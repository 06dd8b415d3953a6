"""Files damaged byte by byte, as by a broken copy, a wrong program or a wrong name."""

import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from random import Random

from tests.fuzz.map_files import pack, unpacked

_TEXT_FILES = {".toml", ".csv", ".geojson", ".kml", ".gml", ".asc", ".tab"}
_DIGIT_RUN = re.compile(rb"[0-9]+")


def change_bytes(chance: Random, folder: Path) -> str:
    """Damage one file of the season in one to three ways and return what was done, in words."""
    path = _choose(chance, folder)
    stored = path.read_bytes()
    name = path.relative_to(folder).as_posix()
    if zipfile.is_zipfile(path) and chance.random() < 0.6:
        members = unpacked(path)
        inside = chance.choice(sorted(members))
        members[inside], words = _damaged(chance, members[inside], folder, Path(inside).suffix)
        pack(path, members)
        return f"{name}: {inside} inside: {words}"
    if chance.random() < 0.06:
        return f"{name}: {_replace(chance, path, folder)}"
    damaged, words = _damaged(chance, stored, folder, path.suffix)
    path.write_bytes(damaged)
    return f"{name}: {words}"


def _choose(chance: Random, folder: Path) -> Path:
    """Return a file, each kind of file as likely as another: there are many months and one GeoPackage."""
    groups: dict[tuple[Path, str], list[Path]] = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            groups.setdefault((path.parent, re.sub("[0-9]+", "0", path.name)), []).append(path)
    return chance.choice(groups[chance.choice(sorted(groups))])


def _replace(chance: Random, path: Path, folder: Path) -> str:
    """Put something else in the place of the file."""
    way = chance.choice(("nothing", "empty", "folder", "other file"))
    if way == "empty":
        path.write_bytes(b"")
    elif way == "other file":
        other = _choose(chance, folder)
        path.write_bytes(other.read_bytes())
        return f"replaced by {other.name}"
    else:
        path.unlink()
        if way == "folder":
            path.mkdir()
    return f"replaced by {way}"


def _damaged(chance: Random, stored: bytes, folder: Path, suffix: str) -> tuple[bytes, str]:
    ways: list[Callable[[Random, bytes], tuple[bytes, str]]] = [
        _flip, _flip, _write_over, _delete, _insert, _truncate, _zero, _copy_inside,
    ]  # fmt: skip
    if suffix in _TEXT_FILES or suffix in {".xml", ".prj"}:
        ways += [_change_number] * 4 + [_change_sign] * 2
    words = []
    for _ in range(chance.choice((1, 1, 2, 3))):
        if chance.random() < 0.08:
            stored, word = _splice(chance, stored, _choose(chance, folder).read_bytes())
        else:
            stored, word = chance.choice(ways)(chance, stored)
        words.append(word)
    return stored, "; ".join(words)


def _at(chance: Random, stored: bytes) -> int:
    """Return a position; heads and tails, where formats keep their tables, are chosen more often."""
    size = len(stored)
    way = chance.random()
    if way < 0.35:
        return chance.randrange(min(size, 200) + 1)
    if way < 0.45:
        return max(0, size - chance.randrange(min(size, 100) + 1))
    return chance.randrange(size + 1)


def _length(chance: Random) -> int:
    return chance.choice((1, 1, 2, 4, 8, 16, 64, 500))


def _flip(chance: Random, stored: bytes) -> tuple[bytes, str]:
    changed = bytearray(stored)
    places = [_at(chance, stored) for _ in range(chance.choice((1, 1, 3, 10, 60)))]
    for at in places:
        if at < len(changed):
            changed[at] ^= 1 << chance.randrange(8)
    return bytes(changed), f"{len(places)} bits flipped, the first at {places[0]}"


def _write_over(chance: Random, stored: bytes) -> tuple[bytes, str]:
    at, length = _at(chance, stored), _length(chance)
    fill = chance.choice((b"\xff" * length, b"\x7f" * length, b" " * length, chance.randbytes(length)))
    return stored[:at] + fill + stored[at + length :], f"{length} bytes written over at {at}"


def _delete(chance: Random, stored: bytes) -> tuple[bytes, str]:
    at, length = _at(chance, stored), _length(chance)
    return stored[:at] + stored[at + length :], f"{length} bytes deleted at {at}"


def _insert(chance: Random, stored: bytes) -> tuple[bytes, str]:
    at, length = _at(chance, stored), _length(chance)
    return stored[:at] + chance.randbytes(length) + stored[at:], f"{length} bytes inserted at {at}"


def _truncate(chance: Random, stored: bytes) -> tuple[bytes, str]:
    at = _at(chance, stored)
    return stored[:at], f"cut off at {at} of {len(stored)}"


def _zero(chance: Random, stored: bytes) -> tuple[bytes, str]:
    at, length = _at(chance, stored), chance.choice((4, 100, 4096))
    length = min(length, len(stored) - at)
    return stored[:at] + bytes(length) + stored[at + length :], f"{length} zeros at {at}"


def _copy_inside(chance: Random, stored: bytes) -> tuple[bytes, str]:
    start, at, length = _at(chance, stored), _at(chance, stored), _length(chance)
    return stored[:at] + stored[start : start + length] + stored[
        at:
    ], f"{length} bytes of {start} again at {at}"


def _splice(chance: Random, stored: bytes, other: bytes) -> tuple[bytes, str]:
    at = _at(chance, stored)
    return stored[:at] + other[_at(chance, other) :], f"the end of another file from {at}"


def _change_number(chance: Random, stored: bytes) -> tuple[bytes, str]:
    runs = list(_DIGIT_RUN.finditer(stored))
    if not runs:
        return stored, "no number to change"
    run = chance.choice(runs)
    new = chance.choice(
        (b"", b"0", b"-1", b"9" * 30, b"1e999", b"nan", b"00", run[0][::-1], run[0] * 3, b".")
    )
    return stored[: run.start()] + new + stored[
        run.end() :
    ], f"number {run[0]!r} became {new!r} at {run.start()}"


def _change_sign(chance: Random, stored: bytes) -> tuple[bytes, str]:
    """Change one of the signs that structure a text file."""
    places = [match.start() for match in re.finditer(rb'[]\[{}(),;:"<>=/\r\n\t -]', stored)]
    if not places:
        return stored, "no sign to change"
    at = chance.choice(places)
    new = chance.choice(
        (b"", b",", b";", b'"', b"\n", b"\r", b"]", b"{", b"<", b"\x00", b"\xef\xbb\xbf", b"\xe9")
    )
    return stored[:at] + new + stored[at + 1 :], f"{stored[at : at + 1]!r} became {new!r} at {at}"
