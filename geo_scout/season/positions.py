"""Where each key of a TOML file stands: line numbers from a concrete syntax tree."""

import tomllib
from dataclasses import dataclass, field

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from geo_scout.season.wording import KeyPath

_KEY_NODES = ("bare_key", "quoted_key", "dotted_key")


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a key stands.

    Parameters
    ----------
    line
        Line number from 1.
    is_header
        True for a table opened by a ``[line]`` of its own or of a table inside it.
    """

    line: int
    is_header: bool = False


@dataclass(slots=True)
class Positions:
    """Marks by key path, and the keys written more than once (path, first mark, second mark)."""

    marks: dict[KeyPath, Mark] = field(default_factory=dict)
    repeats: list[tuple[KeyPath, Mark, Mark]] = field(default_factory=list)
    _stated: dict[KeyPath, Mark] = field(default_factory=dict)
    _lengths: dict[KeyPath, int] = field(default_factory=dict)

    def nearest(self, path: KeyPath) -> Mark | None:
        """Return the mark of a key, or of the closest table around it; None at the top of the file."""
        for length in range(len(path), 0, -1):
            mark = self.marks.get(path[:length])
            if mark is not None:
                return mark
        return None

    def state(self, path: KeyPath, mark: Mark, above: int) -> None:
        """Note a key the file states; the first ``above`` parts of its path are known already."""
        for length in range(above + 1, len(path)):
            self.marks.setdefault(path[:length], Mark(mark.line, mark.is_header))
        if path in self._stated:
            self.repeats.append((path, self._stated[path], mark))
        else:
            self._stated[path] = mark
            self.marks[path] = mark

    def append(self, path: KeyPath) -> KeyPath:
        """Return the path of the next element of an array of tables."""
        index = self._lengths.get(path, 0)
        self._lengths[path] = index + 1
        return (*path, index)

    def resolve(self, names: tuple[str, ...]) -> KeyPath:
        """Return the path of a header's names: inside an array of tables it means the last element."""
        path: KeyPath = ()
        for name in names:
            path = (*path, name)
            if path in self._lengths:
                path = (*path, self._lengths[path] - 1)
        return path


def read_positions(text: str) -> Positions:
    r"""Return where each key of a TOML text stands.

    Text that is not valid TOML gives the keys that can still be recognised.

    >>> found = read_positions("format = 1\n[[crews]]\nname = 'Ford'\n")
    >>> found.nearest(("crews", 0, "name")).line
    3
    """
    positions = Positions()
    tree = Parser(Language(tree_sitter_toml.language())).parse(text.encode())
    for node in tree.root_node.children:
        if node.type == "pair":
            _read_pair(node, (), positions)
        elif node.type in ("table", "table_array_element"):
            _read_table(node, positions)
    return positions


def _read_table(node: Node, positions: Positions) -> None:
    key = next((child for child in node.children if child.type in _KEY_NODES), None)
    if key is None:
        return
    names = _names(key)
    mark = _mark(node, is_header=True)
    if node.type == "table_array_element":
        parent = (*positions.resolve(names[:-1]), names[-1])
        positions.marks.setdefault(parent, mark)
        path = positions.append(parent)
        positions.state(path, mark, len(path) - 1)
    else:
        path = positions.resolve(names)
        positions.state(path, mark, 0)
    for child in node.children:
        if child.type == "pair":
            _read_pair(child, path, positions)


def _read_pair(node: Node, above: KeyPath, positions: Positions) -> None:
    if len(node.children) < 3:
        return
    path = above + _names(node.children[0])
    positions.state(path, _mark(node), len(above))
    _read_value(node.children[-1], path, positions)


def _read_value(node: Node, path: KeyPath, positions: Positions) -> None:
    if node.type == "inline_table":
        for child in node.children:
            if child.type == "pair":
                _read_pair(child, path, positions)
    elif node.type == "array":
        elements = (child for child in node.children if child.is_named and child.type != "comment")
        for index, child in enumerate(elements):
            positions.state((*path, index), _mark(child), len(path))
            _read_value(child, (*path, index), positions)


def _names(node: Node) -> tuple[str, ...]:
    """Return the parts of a key; the TOML reader itself takes quotes and escapes off."""
    try:
        part: object = tomllib.loads(f"{_text(node)} = 0")
    except tomllib.TOMLDecodeError:
        return (_text(node),)
    names: list[str] = []
    while isinstance(part, dict):
        name, part = next(iter(part.items()))
        names.append(name)
    return tuple(names)


def _text(node: Node) -> str:
    return (node.text or b"").decode()


def _mark(node: Node, *, is_header: bool = False) -> Mark:
    return Mark(line=node.start_point[0] + 1, is_header=is_header)
