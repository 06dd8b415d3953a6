"""One file of a draft while it is written: its lines, the questions about them, and stand-ins for answers."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field

from geo_scout.model.draft import BLANK, Need, Question
from geo_scout.season.toml_text import note_text, toml_text
from geo_scout.season.wording import listed

WIDTH = 108
_NOTE_AT = 40


@dataclass
class Numbering:
    """The questions of all pages, numbered as they come."""

    questions: list[Question] = field(default_factory=list)


@dataclass
class Page:
    """One file of a draft.

    Parameters
    ----------
    file
        Its path relative to the draft's folder.
    numbering
        Questions of this page and the pages before it.
    lines
        Its lines so far.
    stand_ins
        The same, with every open question answered by a stand-in or left out.
    place
        Header of the table that is being written.
    """

    file: str
    numbering: Numbering
    lines: list[str] = field(default_factory=list)
    stand_ins: list[str] = field(default_factory=list)
    place: str = "at the top"

    def add(self, *lines: str) -> None:
        """Add lines as they are."""
        self.lines.extend(lines)
        self.stand_ins.extend(lines)

    def open(self, header: str) -> None:
        """Open a table, with an empty line before it."""
        self.place = header
        self.add("", header)

    def note(self, text: str) -> None:
        """Add a comment, in as many lines as it takes."""
        self.add(*_comment(text))

    def set(self, key: str, value: str, note: str = "") -> None:
        """Add a key whose value needs no question."""
        self.add(with_note(f"{key} = {value}", note))

    def ask(
        self,
        text: str,
        lines: Sequence[str],
        answer: str,
        *,
        is_needed: bool,
        stand_ins: Sequence[str] | None = None,
    ) -> None:
        """Add a question and the lines it is about.

        Parameters
        ----------
        text
            The question.
        lines
            The lines, without the mark of the question, which is added.
        answer
            What to do with them.
        is_needed
            Whether nothing true can come out before it is answered.
        stand_ins
            Lines that stand for an answer where the layers are only looked at; the lines themselves
            when left out.
        """
        number = len(self.numbering.questions) + 1
        marked = tuple(with_note(line, f"question {number}") for line in lines)
        need: Need = "needed" if is_needed else "may stay open" if lines[0].startswith("#") else "to confirm"
        self.lines.extend(_comment(f"Question {number} ({need}): {text}"))
        self.numbering.questions.append(
            Question(
                number=number,
                file=self.file,
                line=len(self.lines) + 1,
                place=self.place,
                text=note_text(text),
                answer=note_text(answer),
                lines=marked,
                need=need,
            )
        )
        self.lines.extend(marked)
        self.stand_ins.extend(lines if stand_ins is None else stand_ins)

    def text(self) -> str:
        """Return the file's text."""
        return "\n".join(self.lines).strip("\n") + "\n"

    def stand_in_text(self) -> str:
        """Return its text with the stand-ins."""
        return "\n".join(self.stand_ins).strip("\n") + "\n"


def fill_in(choices: Sequence[str]) -> str:
    """Return what to do with a line that holds a `BLANK`."""
    if not choices:
        return f"write the answer for the {BLANK}"
    return f"write {listed([*choices])} for the {BLANK}"


def with_note(line: str, note: str) -> str:
    """Return a line with a note behind it, the notes under each other where the lines are short."""
    return f"{line.ljust(_NOTE_AT)}  # {note_text(note)}" if note else line


def blank() -> str:
    """Return the TOML value that stands for a word the user must write."""
    return toml_text(BLANK)


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(note_text(text), WIDTH, break_on_hyphens=False)] or ["#"]
