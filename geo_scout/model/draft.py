"""What was found in a user's own files, what was guessed from it, and what only the user can know."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from geo_scout.model.columns import SPREADSHEET_DAY

Shapes = Literal["polygons", "points", "lines", "polygons and points", "mixed shapes", "no shapes"]
Bounds = tuple[float, float, float, float]
Grid = tuple[float, ...]
Need = Literal["needed", "to confirm", "may stay open"]
BLANK = "?"
"""Stands in a draft where a word is missing; no setting accepts it, so that it cannot pass unfilled."""


@dataclass(frozen=True)
class FoundColumn:
    """One column of a table, as far as it was looked at.

    Parameters
    ----------
    name
        Name in the file.
    values
        Cells in the order of the rows as trimmed text, "" where blank.
    counts
        How often each text stands there, blanks left out, in the order of first appearance.
    numbers_share
        Share of the filled cells that are numbers [share].
    least, most
        Of the numbers; nan where there is none.
    is_whole
        Whether every number is a whole one.
    date_formats
        The ways the cells can be read as dates: ``""`` for the file's own dates and year-month-day,
        otherwise as in ``date_format``; more than one where the cells fit more than one.
    is_typed_date
        Whether the file itself says that these are dates.
    """

    name: str
    values: tuple[str, ...]
    counts: Mapping[str, int]
    numbers_share: float
    least: float
    most: float
    is_whole: bool
    date_formats: tuple[str, ...] = ()
    is_typed_date: bool = False

    @property
    def filled(self) -> int:
        """Number of cells that are not blank."""
        return sum(self.counts.values())

    @property
    def is_unique(self) -> bool:
        """Whether no value stands twice."""
        return self.filled > 0 and len(self.counts) == self.filled

    @property
    def is_spreadsheet_day(self) -> bool:
        """Whether its numbers count days as spreadsheets do."""
        return self.date_formats == (SPREADSHEET_DAY,)

    @property
    def is_numeric(self) -> bool:
        """Whether every filled cell is a number."""
        return self.filled > 0 and self.numbers_share == 1.0


@dataclass(frozen=True)
class FoundVector:
    """One table of a file, with shapes or without.

    Parameters
    ----------
    path
        The file.
    layer
        Name of the layer inside it; empty where the file has only one.
    shapes
        What the rows are.
    rows
        Number of rows in the file; None where it was not read to its end.
    crs
        Code or name of its coordinate reference system; empty where it states none.
    bounds
        West, south, east, north in its own numbers; None without shapes.
    columns
        Its columns.
    points
        Rows that are points, among those looked at.
    middles_deg
        Longitude and latitude of the middle of each row looked at [deg]; empty where unknown.
    area_m2
        Area of each row looked at, 0 for points [m2]; empty where unknown.
    remarks
        Sentences on how it was read.
    """

    path: Path
    layer: str
    shapes: Shapes
    rows: int | None
    crs: str
    bounds: Bounds | None
    columns: tuple[FoundColumn, ...]
    points: int = 0
    middles_deg: tuple[tuple[float, float], ...] = ()
    area_m2: tuple[float, ...] = ()
    remarks: tuple[str, ...] = ()

    def column(self, name: str) -> FoundColumn | None:
        """Return a column by its name in the file."""
        return next((column for column in self.columns if column.name == name), None)


@dataclass(frozen=True)
class FoundRaster:
    """One raster, with a few looks at its cells.

    Parameters
    ----------
    path
        The file.
    bands
        Number of bands.
    descriptions, units
        Per band, empty where the file says nothing.
    crs
        Code or name of its coordinate reference system; empty where it states none.
    is_crs_in_feet
        Whether its positions are in feet.
    least, mean, most
        Of the cells looked at, with the file's own scale and offset; nan where all are missing.
    is_scaled
        Whether the file states a scale or an offset.
    grid
        Width and height in cells and the six numbers that place them; equal for rasters of the same cells,
        empty where unknown.
    """

    path: Path
    bands: int
    descriptions: tuple[str, ...]
    units: tuple[str, ...]
    crs: str
    is_crs_in_feet: bool
    least: float
    mean: float
    most: float
    is_scaled: bool = False
    grid: Grid = ()


@dataclass(frozen=True, slots=True)
class Unused:
    """A file, or a layer of one, that the draft does not use, and why."""

    path: Path
    layer: str
    why: str


@dataclass(frozen=True, slots=True)
class ColumnGuess:
    """Which column carries one of our meanings.

    Parameters
    ----------
    ours, theirs
        Our name, and the file's.
    score
        0 to 1, from the name and the values.
    evidence
        What speaks for it, in words.
    """

    ours: str
    theirs: str
    score: float
    evidence: str


@dataclass(frozen=True, slots=True)
class SettingGuess:
    """One key of a layer: guessed, or left open for the user.

    Parameters
    ----------
    key
        Dotted key inside the layer's table, for example ``units.cover``.
    value
        The guess; `BLANK` where a word is needed from the user; None where a number is needed.
    evidence
        What speaks for it, in words.
    question
        What to ask the user; empty where the guess needs no question.
    choices
        What the answer can be, each with its meaning.
    is_needed
        Whether nothing true can come out before it is answered.
    more
        Further keys with their values that go with it, under the same question.
    is_offered
        Whether it counts only once the user takes it up: a column that may be meant, and may not.
    """

    key: str
    value: object
    evidence: str
    question: str = ""
    choices: tuple[str, ...] = ()
    is_needed: bool = False
    more: tuple[tuple[str, object], ...] = ()
    is_offered: bool = False


@dataclass(frozen=True)
class LayerGuess:
    """Which layer of the season a file, or a layer of one, seems to be.

    Parameters
    ----------
    kind
        Name of the layer in the season file.
    score
        0 to 1.
    evidence
        What speaks for it, in words.
    vector, rasters
        What was found: one table, or one or more rasters in the order of their bands.
    columns, settings
        What was guessed of it.
    """

    kind: str
    score: float
    evidence: tuple[str, ...]
    vector: FoundVector | None = None
    rasters: tuple[FoundRaster, ...] = ()
    columns: tuple[ColumnGuess, ...] = ()
    settings: tuple[SettingGuess, ...] = ()

    @property
    def path(self) -> Path:
        """The file, or the first of several."""
        return self.vector.path if self.vector else self.rasters[0].path

    def matched(self, ours: str) -> FoundColumn | None:
        """Return the file's column for one of ours."""
        theirs = next((guess.theirs for guess in self.columns if guess.ours == ours), None)
        return self.vector.column(theirs) if self.vector and theirs is not None else None


@dataclass(frozen=True, slots=True)
class NameGuess:
    """A weed, an agent, a land class or a jurisdiction that the files name.

    Parameters
    ----------
    name
        As written most often.
    rows
        Rows that name it.
    host
        For an agent: the weed it seems to live on; empty where nothing tells.
    evidence
        What speaks for that host.
    alike
        For an agent: other names so near that they may be the same one, with the rows of each; their rows
        are not counted in ``rows``.
    """

    name: str
    rows: int
    host: str = ""
    evidence: str = ""
    alike: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class Inspection:
    """Everything found in the user's files.

    Parameters
    ----------
    layers
        The layers recognised, in the order of the season file.
    unused
        What is not used, with the reason.
    hosts, agents, land_classes, jurisdictions
        Names listed from the values.
    middle_deg
        Longitude and latitude in the middle of the infestations; None where unknown [deg].
    could_join
        Visits that name no release and lie where an earlier one of their agent is, and the least round
        distance that would join them [m].
    """

    layers: tuple[LayerGuess, ...]
    unused: tuple[Unused, ...]
    hosts: tuple[NameGuess, ...] = ()
    agents: tuple[NameGuess, ...] = ()
    land_classes: tuple[NameGuess, ...] = ()
    jurisdictions: tuple[NameGuess, ...] = ()
    middle_deg: tuple[float, float] | None = None
    could_join: tuple[int, float] = (0, 0.0)

    def layer(self, kind: str) -> LayerGuess | None:
        """Return the layer recognised as a kind."""
        return next((layer for layer in self.layers if layer.kind == kind), None)


@dataclass(frozen=True, slots=True)
class Question:
    """One thing only the user can say.

    Parameters
    ----------
    number
        From 1, in the order of the draft.
    file, line, place
        Where the answer goes: file relative to the draft's folder, line from 1, the table's header.
    text
        The question.
    answer
        What to do in the draft.
    lines
        The draft's lines it is about, as they stand there.
    need
        Whether nothing true can come out before it is answered, it is a guess to confirm, or it may stay
        open with something left off.
    """

    number: int
    file: str
    line: int
    place: str
    text: str
    answer: str
    lines: tuple[str, ...]
    need: Need

    @property
    def is_needed(self) -> bool:
        """Whether nothing true can come out before it is answered."""
        return self.need == "needed"


@dataclass(frozen=True)
class SeasonDraft:
    """A season drafted from the user's own files, not yet written.

    Parameters
    ----------
    texts
        Content of each file by its path relative to the draft's folder, ``/`` between folders.
    questions
        What is still open.
    found_text, questions_text
        What was found, and the questions, in words.
    stand_ins
        The same files with every open question answered by something that lets the layers be read:
        never written, and nothing from it reaches a ranking.
    """

    texts: Mapping[str, str]
    questions: tuple[Question, ...]
    found_text: str
    questions_text: str
    stand_ins: Mapping[str, str] = field(default_factory=dict)
