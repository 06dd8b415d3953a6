"""Cells of a column become what the recogniser looks at."""

from collections import Counter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma
from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.inspect.date_formats import LEAST_SHARE, date_formats, is_day_number
from geo_scout.layers.inspect.names import words_of
from geo_scout.model.columns import SPREADSHEET_DAY
from geo_scout.model.draft import FoundColumn

_OF_DATES = frozenset(
    {"date", "dated", "day", "visited", "surveyed", "inspected", "checked", "monitored", "mapped", "observed",
     "treated", "sprayed", "applied", "requested", "received", "collected", "start", "end", "begin", "finish",
     "until", "when"}
)  # fmt: skip


def describe_column(name: str, cells: NDArray[Any], *, is_typed_date: bool = False) -> FoundColumn:
    """Return a column described.

    Parameters
    ----------
    name
        Its name in the file.
    cells
        Its cells, (n,), of any type.
    is_typed_date
        Whether the file says that these are dates.

    Examples
    --------
    >>> column = describe_column("COVER", np.array(["5", "30", ""], dtype=object))
    >>> column.filled, column.least, column.most, column.is_numeric
    (2, 5.0, 30.0, True)
    """
    texts = as_texts(cells)
    counts = Counter(text for text in texts if text)
    numbers, _, _ = as_numbers_with_comma(texts, None)
    known = numbers[np.isfinite(numbers)]
    filled = sum(counts.values())
    return FoundColumn(
        name=name,
        values=tuple(texts),
        counts=counts,
        numbers_share=known.size / filled if filled else 0.0,
        least=float(known.min()) if known.size else float("nan"),
        most=float(known.max()) if known.size else float("nan"),
        is_whole=bool(known.size) and bool((known == np.floor(known)).all()),
        date_formats=("",) if is_typed_date else _date_formats(name, counts),
        is_typed_date=is_typed_date,
    )


def _date_formats(name: str, counts: Counter[str]) -> tuple[str, ...]:
    """Return how the cells can be read as dates; numbers are days only where the name speaks of a date."""
    speaks_of_date = bool(_OF_DATES & set(words_of(name)))
    if counts and speaks_of_date and sum(map(is_day_number, counts)) >= LEAST_SHARE * len(counts):
        return (SPREADSHEET_DAY,)
    return date_formats(counts)
