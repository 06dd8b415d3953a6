"""What a draft tells the user: what was found, by which evidence, and the questions that are open."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path

from geo_scout.model.draft import Inspection, LayerGuess, NameGuess, Question, Unused
from geo_scout.season.draft_layers import is_blank, unused_columns
from geo_scout.season.draft_paths import draft_path
from geo_scout.season.toml_text import note_text, toml_item
from geo_scout.season.wording import listed

_WIDTH, _NAMES_SHOWN, _FILES_SHOWN = 108, 12, 5


def found_text(found: Inspection, folder: Path) -> str:
    """Return what was recognised, with the evidence, and what was left alone.

    Parameters
    ----------
    found
        What was found.
    folder
        The draft's folder, from which paths are told.
    """
    lines = ["Your files were only read; nothing was copied or changed. Paths start from the draft's folder."]
    for layer in found.layers:
        lines += ["", *_layer(layer, folder)]
    names = (("Weeds", found.hosts), ("Agents", found.agents), ("Land classes", found.land_classes),
             ("Jurisdictions", found.jurisdictions))  # fmt: skip
    shown = [_names(title, guesses) for title, guesses in names if guesses]
    if shown:
        lines += ["", *shown]
    if found.unused:
        lines += ["", "Not used", *unused_lines(found.unused, folder)]
    return "\n".join(lines)


def questions_text(questions: Sequence[Question], folder: Path) -> str:
    """Return the numbered questions, each with the place of its answer and what to do there.

    Parameters
    ----------
    questions
        The questions.
    folder
        The draft's folder as the user named it.
    """
    needed = sum(question.is_needed for question in questions)
    counted = "1 question is" if len(questions) == 1 else f"{len(questions)} questions are"
    lines = [
        *_wrapped(
            f"{counted} open; {needed} of them must be answered before the season can "
            f"run. The "
            f"answers go into the files in '{folder.as_posix()}'.",
            "",
            "",
        )
    ]
    for question in questions:
        lines += ["", *_wrapped(f"{question.number}. ({question.need}) {question.text}", "", "   ")]
        lines += _wrapped(
            f"{question.file} line {question.line}, {question.place}: {question.answer}.", "   ", "   "
        )
        lines += [f"       {line}" for line in question.lines]
    return "\n".join(lines)


def _layer(layer: LayerGuess, folder: Path) -> Iterator[str]:
    paths = [note_text(draft_path(raster.path, folder)[0]) for raster in layer.rasters]
    name = paths[0] if paths else note_text(draft_path(layer.path, folder)[0])
    more = f" and {len(paths) - 1} more" if len(paths) > 1 else ""
    inside = f", layer {note_text(layer.vector.layer)}" if layer.vector and layer.vector.layer else ""
    yield f"{layer.kind}: {name}{more}{inside} (score {layer.score:.2f})"
    yield from _wrapped(f"{'; '.join(layer.evidence)}; {_system(layer)}", "  ", "  ")
    for guess in layer.columns:
        yield from _wrapped(
            f"{guess.ours} = {note_text(guess.theirs)}  ({guess.score:.2f}: {guess.evidence})",
            "    ",
            "      ",
        )
    for setting in layer.settings:
        if not setting.key.startswith("columns.") and setting.key != "no":
            value = "unknown" if setting.value is None or is_blank(setting) else toml_item(setting.value)
            yield from _wrapped(f"{setting.key} = {value}  ({setting.evidence})", "    ", "      ")
    unused = unused_columns(layer)
    if unused:
        yield from _wrapped(f"not used: {listed(unused, last='and')}", "    ", "      ")


def _system(layer: LayerGuess) -> str:
    crs = layer.vector.crs if layer.vector else layer.rasters[0].crs
    return f"{crs}, as the file says" if crs else "no reference system is stated"


def _names(title: str, guesses: Sequence[NameGuess]) -> str:
    shown = [_name(guess) for guess in guesses[:_NAMES_SHOWN]]
    more = f" and {len(guesses) - _NAMES_SHOWN:,} more" if len(guesses) > _NAMES_SHOWN else ""
    return "\n".join(_wrapped(f"{title}: {', '.join(shown)}{more}", "", "  "))


def _name(guess: NameGuess) -> str:
    like = [f"'{note_text(name)}' {rows:,}" for name, rows in guess.alike]
    also = f"; nearly the same: {', '.join(like)}" if like else ""
    return f"{note_text(guess.name)} ({guess.rows:,}{also})"


def unused_lines(unused: Iterable[Unused], folder: Path) -> Iterator[str]:
    """Yield what was left alone, files with the same reason together."""
    by_reason = sorted(unused, key=lambda one: one.why)
    for why, items in groupby(by_reason, key=lambda one: one.why):
        names = [_unused_name(one, folder) for one in items]
        more = f" and {len(names) - _FILES_SHOWN:,} more" if len(names) > _FILES_SHOWN else ""
        yield from _wrapped(f"{', '.join(names[:_FILES_SHOWN])}{more}: {note_text(why)}", "  ", "    ")


def _unused_name(one: Unused, folder: Path) -> str:
    # A name that is no text at all can still be told.
    name = draft_path(one.path, folder)[0].encode("utf-8", "backslashreplace").decode("utf-8")
    return f"{note_text(name)}{f', layer {note_text(one.layer)}' if one.layer else ''}"


def _wrapped(text: str, first: str, then: str) -> list[str]:
    return textwrap.wrap(
        note_text(text), _WIDTH, initial_indent=first, subsequent_indent=then,
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip
