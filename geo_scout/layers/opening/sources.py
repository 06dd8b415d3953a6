"""A vector file opened: which columns it has, which reference system, and how its cells are read."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.layers.drafts import Rows, Why
from geo_scout.model.finding import Grade

Values = NDArray[Any]
Remark = tuple[str, Grade, str, str]


@dataclass(frozen=True)
class Fault:
    """Rows of a file that cannot be used at all, with a sentence for each."""

    rows: Rows
    why: Why
    what: tuple[str, ...]


@dataclass(frozen=True)
class Cells:
    """The cells of some columns of a file.

    Parameters
    ----------
    columns
        Values by the file's own column names, each (n,).
    geometry
        Shapes, (n,); None where the file has no shapes of its own.
    faults
        Rows that cannot be used at all.
    error_m
        How far off each position may be because of the way it is written, (n,) [m]; None where it is exact.
    rows
        Row numbers a person finds in the file, (n,); None where they count from 1.
    """

    columns: dict[str, Values]
    geometry: NDArray[np.object_] | None
    faults: tuple[Fault, ...] = ()
    error_m: NDArray[np.float64] | None = None
    rows: NDArray[np.int64] | None = None


@dataclass(frozen=True)
class Source:
    """A vector file opened but not yet read.

    Parameters
    ----------
    column_names
        Names as the file spells them.
    crs
        The file's own reference system, if it has one.
    has_geometry
        Whether the file holds shapes; otherwise points are made from two columns.
    read
        Returns the cells of the named columns.
    date_columns
        Columns the file itself types as dates.
    short_names
        Whether the format cuts column names at ten characters.
    has_typed_dates
        Whether cells of one column may be dates the file types itself and text at once, as in spreadsheets.
    remarks
        Code, grade, sentence and fix of what was noticed on opening.
    """

    column_names: tuple[str, ...]
    crs: CRS | None
    has_geometry: bool
    read: Callable[[Sequence[str]], Cells]
    date_columns: frozenset[str] = frozenset()
    short_names: bool = False
    has_typed_dates: bool = False
    remarks: list[Remark] = field(default_factory=list)
