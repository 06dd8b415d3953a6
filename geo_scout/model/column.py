"""What is said of one column of a layer, and of a layer as a whole."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "number", "date", "yes or no", "cover", "area"]
Shapes = Literal["polygons or points", "polygons", "points", "lines", "lines or polygons"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column we read.

    Parameters
    ----------
    name
        Our name; the season file maps the user's name to it.
    kind
        How its text is read.
    meaning
        One phrase in the coordinator's words.
    is_required
        True where the layer makes no sense without it.
    term
        The Darwin Core term of the same meaning; empty where there is none.
    """

    name: str
    kind: Kind
    meaning: str
    is_required: bool = False
    term: str = ""


@dataclass(frozen=True, slots=True)
class VectorKind:
    """What a vector layer holds and what it adds to a run."""

    shapes: Shapes
    adds: str
    without: str
    columns: tuple[Column, ...]


@dataclass(frozen=True, slots=True)
class RasterKind:
    """What a raster layer holds and what it adds to a run."""

    unit: str
    bands: int | None
    adds: str
    without: str


@dataclass(frozen=True, slots=True)
class TableKind:
    """What a plain table without shapes holds and what it adds to a run."""

    adds: str
    without: str
    columns: tuple[Column, ...]
