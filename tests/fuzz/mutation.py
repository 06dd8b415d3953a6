"""One mutation: its number decides the season, the kind of change and every choice in it."""

import shutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

from tests.fuzz.bytes_changed import change_bytes
from tests.fuzz.kits import Kit
from tests.fuzz.rasters_changed import change_cells, change_grid
from tests.fuzz.shapes_changed import change_shapes
from tests.fuzz.tokens_changed import change_tokens
from tests.fuzz.values_changed import change_values

_TRIES = 20


@dataclass(frozen=True)
class Mutation:
    """A season that was changed.

    Parameters
    ----------
    number
        Its number, from 1.
    kind
        bytes, values, shapes or tokens.
    kit
        Name of the season that was changed.
    words
        What was done.
    always_run
        Whether it is run even where `check` finds nothing to stop at.
    has_earlier
        Whether the outputs of an earlier run are there.
    """

    number: int
    kind: str
    kit: str
    words: str
    always_run: bool
    has_earlier: bool


def write_mutation(number: int, seed: int, kits: Sequence[Kit], kits_folder: Path, folder: Path) -> Mutation:
    """Write the season of one number into a folder that is not there yet.

    The same number and seed give the same season, whatever was made before.
    """
    chance = Random(f"{seed}:{number}")
    kit = chance.choice(kits)
    kind = chance.choice(sorted(KINDS))
    always_run, has_earlier = chance.random() < 1 / 3, chance.random() < 0.5
    words = _write(chance, kit, kits_folder / kit.name, folder, [kind])
    if chance.random() < 0.1:
        # Two faults at once reach what one alone is stopped before.
        words = _write(chance, kit, kits_folder / kit.name, folder, [kind, chance.choice(sorted(KINDS))])
    return Mutation(number, kind, kit.name, words, always_run, has_earlier)


def _write(chance: Random, kit: Kit, original: Path, folder: Path, kinds: Sequence[str]) -> str:
    """Return what was done; a change that no program could write to such a file is tried anew."""
    for _ in range(_TRIES):
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(original, folder)
        try:
            return " + ".join(KINDS[kind](chance, kit, folder) for kind in kinds)
        except Exception as refused:
            reason = refused
    message = f"nothing could be written in {_TRIES} tries: {reason!r}"
    raise RuntimeError(message)


def _bytes(chance: Random, kit: Kit, folder: Path) -> str:
    return change_bytes(chance, folder)


def _values(chance: Random, kit: Kit, folder: Path) -> str:
    return (change_cells if chance.random() < 0.2 else change_values)(chance, kit, folder)


def _shapes(chance: Random, kit: Kit, folder: Path) -> str:
    return (change_grid if chance.random() < 0.2 else change_shapes)(chance, kit, folder)


def _tokens(chance: Random, kit: Kit, folder: Path) -> str:
    return change_tokens(chance, folder)


KINDS: Mapping[str, Callable[[Random, Kit, Path], str]] = {
    "bytes": _bytes,
    "values": _values,
    "shapes": _shapes,
    "tokens": _tokens,
}
