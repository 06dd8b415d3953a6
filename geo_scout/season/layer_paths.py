"""Where a layer's files are: one path, several, or a pattern of file names."""

import re
from collections.abc import Iterator
from pathlib import Path

from geo_scout.model.columns import RASTER_LAYERS, VECTOR_LAYERS
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.layer_keys import is_for
from geo_scout.season.paths import check_file, check_written
from geo_scout.season.wording import KeyPath, show_value, toml_value

_BLANK = re.compile(r"\{[^{}]*\}")
_BLANKS = {"bioclim": ("{variable}",), "extremes": ("{variable}",)}
_MONTHS = ("{month}", "{month:02}")


def check_layer_paths(document: Document, path: KeyPath, folder: Path) -> Iterator[Problem]:
    """Yield the mistakes of ``path`` and ``paths`` in a layer's table."""
    name = str(path[-1])
    written = document.text(*path, "path")
    yield from check_written(document, (*path, "path"))
    if written is not None and is_for("paths", name) and "*" in written:
        blank = _BLANKS.get(name, _MONTHS)[0]
        fix = f"write path = {toml_value(written.replace('*', blank))}"
        what = f"{show_value(written)} has a star, which finds no files here; {blank} does."
        yield document.problem("bad-path", (*path, "path"), what, fix)
    elif written is not None and is_for("paths", name) and _BLANK.search(written):
        yield from _check_pattern(document, (*path, "path"), written, _BLANKS.get(name, _MONTHS))
    else:
        folders = (".gdb",) if name in VECTOR_LAYERS else ()
        yield from check_file(document, (*path, "path"), folder, folders=folders)
    if is_for("paths", name):
        yield from _check_paths(document, path, folder)


def _check_pattern(
    document: Document, path: KeyPath, written: str, blanks: tuple[str, ...]
) -> Iterator[Problem]:
    found = _BLANK.findall(written)
    if len(found) == 1 and found[0] in blanks:
        return
    what = f"{show_value(written)} is no pattern of file names for the layer {path[1]}."
    yield document.problem("bad-path", path, what, f"write {' or '.join(blanks)} in it, once.")


def _check_paths(document: Document, path: KeyPath, folder: Path) -> Iterator[Problem]:
    name, given = str(path[-1]), list(document.texts(*path, "paths"))
    if document.get(*path, "paths") is not None and document.get(*path, "path") is not None:
        what = "path and paths say twice where the layer is."
        yield document.problem("bad-choice", (*path, "paths"), what, "remove one of the two.")
    months = RASTER_LAYERS[name].bands
    if given and months is not None and len(given) != months:
        number = "1 file is" if len(given) == 1 else f"{len(given)} files are"
        what = f"{number} given; the layer {name} needs {months}, January to December."
        yield document.problem(
            "bad-choice", (*path, "paths"), what, "name one file for each month, in order."
        )
    for place, _ in given:
        yield from check_written(document, place)
        yield from check_file(document, place, folder)
