"""Keys, values and lines of the TOML files changed: swapped, doubled, deleted, retyped."""

import re
from collections.abc import Callable
from pathlib import Path
from random import Random

from tests.fuzz.hostile import TEXTS, TOML_KEYS, TOML_LINES, TOML_VALUES
from tests.fuzz.kits import SEASON_FILE

_ASSIGNED = re.compile(r"^(?P<key>[\w.\"]+)(?P<equals>\s*=\s*)(?P<value>.+?)(?P<rest>\s*#.*)?$")
_VALUE_INSIDE = re.compile(r'(?<=[=\[,])\s*("[^"]*"|-?[0-9][0-9.]*|true|false)(?=\s*[,}\]])')
_NUMBER = re.compile(r"(?<![\w.\"-])-?[0-9]+(?:\.[0-9]+)?(?![\w.\"-])")

_Lines = list[str]


def change_tokens(chance: Random, folder: Path) -> str:
    """Change one TOML file in one or two ways and return what was done."""
    paths = [folder / SEASON_FILE] * 3 + sorted((folder / "agents").glob("*.toml"))
    path = chance.choice(paths)
    lines, words = path.read_text(encoding="utf-8").splitlines(), []
    for _ in range(chance.choice((1, 1, 1, 2))):
        lines, word = chance.choice(_WAYS)(chance, lines)
        words.append(word)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", errors="replace")
    return f"{path.relative_to(folder).as_posix()}: {'; '.join(words)}"


def _assigned(lines: _Lines) -> list[int]:
    return [at for at, line in enumerate(lines) if _ASSIGNED.match(line)]


def _with(lines: _Lines, at: int, line: str) -> _Lines:
    return [*lines[:at], line, *lines[at + 1 :]]


def _replace_value(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    at = chance.choice(_assigned(lines))
    value = chance.choice(TOML_VALUES)
    line = _ASSIGNED.sub(lambda match: match["key"] + match["equals"] + value, lines[at])
    return _with(lines, at, line), f"line {at + 1} became {line[:70]!r}"


def _replace_inside(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    """Replace one value in a list or an inline table."""
    places = [(at, match) for at, line in enumerate(lines) for match in _VALUE_INSIDE.finditer(line)]
    if not places:
        return _replace_value(chance, lines)
    at, match = chance.choice(places)
    line = lines[at][: match.start(1)] + chance.choice(TOML_VALUES) + lines[at][match.end(1) :]
    return _with(lines, at, line), f"line {at + 1} became {line[:90]!r}"


def _change_number(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    places = [(at, match) for at, line in enumerate(lines) for match in _NUMBER.finditer(line.split("#")[0])]
    at, match = chance.choice(places)
    number = float(match[0])
    new = chance.choice(
        (number * 1e3, number / 1e3, -number, number + 1, 0.0, 1.0, number * 1e12, 360 - number)
    )
    written = f"{new:g}" if chance.random() < 0.5 else repr(round(new)) if abs(new) < 1e18 else repr(new)
    line = lines[at][: match.start()] + written + lines[at][match.end() :]
    return _with(lines, at, line), f"line {at + 1} became {line[:90]!r}"


def _write_text(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    """Write a hostile text as TOML would have it."""
    at = chance.choice(_assigned(lines))
    text = chance.choice(TEXTS)
    escaped = "".join(c if c.isprintable() and c not in '"\\' else f"\\U{ord(c):08X}" for c in text)
    line = _ASSIGNED.sub(lambda match: f'{match["key"]}{match["equals"]}"{escaped}"', lines[at])
    return _with(lines, at, line), f"line {at + 1} became {line[:70]!r}"


def _swap_keys(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    one, other = chance.sample(_assigned(lines), 2)
    first, second = _ASSIGNED.match(lines[one]), _ASSIGNED.match(lines[other])
    assert first is not None
    assert second is not None
    changed = _with(lines, one, second["key"] + first["equals"] + first["value"])
    changed = _with(changed, other, first["key"] + second["equals"] + second["value"])
    return changed, f"keys of lines {one + 1} and {other + 1} swapped"


def _swap_lines(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    one, other = chance.sample(range(len(lines)), 2)
    changed = _with(_with(lines, one, lines[other]), other, lines[one])
    return changed, f"lines {one + 1} and {other + 1} swapped"


def _repeat_line(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    at, to = chance.choice(_told(lines)), chance.randrange(len(lines))
    return [*lines[:to], lines[at], *lines[to:]], f"line {at + 1} again at {to + 1}"


def _delete_line(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    at = chance.choice(_told(lines))
    return lines[:at] + lines[at + 1 :], f"line {at + 1} deleted: {lines[at][:50]!r}"


def _insert_line(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    at, line = chance.randrange(len(lines) + 1), chance.choice(TOML_LINES)
    return [*lines[:at], line, *lines[at:]], f"{line[:40]!r} inserted at line {at + 1}"


def _insert_key(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    at = chance.randrange(len(lines) + 1)
    line = f"{chance.choice(TOML_KEYS)} = {chance.choice(TOML_VALUES)}"
    return [*lines[:at], line, *lines[at:]], f"{line[:70]!r} inserted at line {at + 1}"


def _rename_key(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    at = chance.choice(_assigned(lines))
    key = chance.choice(TOML_KEYS)
    line = _ASSIGNED.sub(lambda match: key + match["equals"] + match["value"], lines[at])
    return _with(lines, at, line), f"line {at + 1} became {line[:70]!r}"


def _rename_table(chance: Random, lines: _Lines) -> tuple[_Lines, str]:
    places = [at for at, line in enumerate(lines) if line.startswith("[")]
    at = chance.choice(places)
    name = chance.choice((*(lines[place].split("#")[0].strip() for place in places), *TOML_LINES[:20]))
    return _with(lines, at, name), f"line {at + 1} became {name[:50]!r}"


def _told(lines: _Lines) -> list[int]:
    """Return the lines that say anything."""
    return [at for at, line in enumerate(lines) if line.strip() and not line.startswith("#")]


_WAYS: tuple[Callable[[Random, _Lines], tuple[_Lines, str]], ...] = (
    _replace_value, _replace_value, _replace_value, _replace_inside, _replace_inside, _change_number,
    _change_number, _change_number, _write_text, _write_text, _swap_keys, _swap_lines, _repeat_line,
    _delete_line, _delete_line, _insert_line, _insert_key, _rename_key, _rename_table,
)  # fmt: skip
