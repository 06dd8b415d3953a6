"""Numbers written with a decimal comma: read where it is sure that the comma is one."""

import re
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.text_values import Numbers, Rows, Texts, as_numbers, as_texts
from geo_scout.layers.noticed import Noticed

Comma = Literal["", "found", "unclear"]

# "1.000,5" has one meaning only: dots between thousands and a decimal comma.
_WITH_COMMA = re.compile(r"[+-]?(?:[0-9]*|[1-9][0-9]{0,2}(?:\.[0-9]{3})+),[0-9]+")
# "1,234" may be 1.234 or 1234; "12,5", "0,125" and "1234,567" have one meaning only.
_MAYBE_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_THOUSANDS_DOTS = re.compile(r"[+-]?[1-9][0-9]{0,2}(?:\.[0-9]{3})+")


def as_numbers_with_comma(values: NDArray[Any], stated: bool | None) -> tuple[Numbers, Rows, Comma]:
    """Return values as numbers, which are unreadable, and what the commas in them turned out to be.

    Parameters
    ----------
    values
        Text or numbers, (n,).
    stated
        Whether the season says that there are decimal commas; None where it says nothing. Then one number
        that can only have a decimal comma decides for the whole column.

    Examples
    --------
    >>> texts = np.array(["12,5", "1,234", "7"], dtype=object)
    >>> numbers, unreadable, comma = as_numbers_with_comma(texts, None)
    >>> numbers.tolist(), comma
    ([12.5, 1.234, 7.0], 'found')
    >>> numbers, unreadable, comma = as_numbers_with_comma(texts[1:], None)
    >>> numbers.tolist(), unreadable.tolist(), comma
    ([nan, 7.0], [True, False], 'unclear')
    """
    numbers, unreadable = as_numbers(values)
    if values.dtype.kind in "iuf" or stated is False:
        return numbers, unreadable, ""
    texts = as_texts(values)
    if stated:
        doubtful = _matching(texts, _THOUSANDS_DOTS, ~unreadable)
        numbers[doubtful], unreadable = np.nan, unreadable | doubtful
    with_comma = _matching(texts, _WITH_COMMA, unreadable)
    if not with_comma.any():
        return numbers, unreadable, ""
    if stated is None and _matching(texts, _MAYBE_THOUSANDS, with_comma).sum() == with_comma.sum():
        return numbers, unreadable, "unclear"
    numbers[with_comma] = [float(text.replace(".", "").replace(",", ".")) for text in texts[with_comma]]
    return numbers, unreadable & ~with_comma, "" if stated else "found"


def say_commas(noticed: Noticed, column: str, comma: Comma) -> None:
    """Say what was made of the commas in a column."""
    if comma == "found":
        what = f"numbers in {column} are written with a decimal comma and were read so."
        noticed.say("comma-read", "note", what, "To be sure of it, add: decimal_comma = true")
    elif comma == "unclear":
        what = (
            f"numbers in {column} have a comma before three digits, which may be a decimal comma or one "
            "between thousands; they were not read."
        )
        fix = "Add decimal_comma = true if it is a decimal comma; otherwise write the numbers without it."
        noticed.say("comma-unclear", "caution", what, fix)


def _matching(texts: Texts, pattern: re.Pattern[str], among: Rows) -> Rows:
    found = np.zeros(len(texts), dtype=bool)
    found[among] = [pattern.fullmatch(text) is not None for text in texts[among]]
    return found
