"""Cells of any type become text, numbers, or yes and no."""

import re
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.folded import folded

Texts = NDArray[np.object_]
Numbers = NDArray[np.float64]
Rows = NDArray[np.bool_]

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


def as_texts(values: NDArray[Any]) -> Texts:
    """Return values as trimmed text, "" where missing; a whole number has no decimals.

    Examples
    --------
    >>> as_texts(np.array([12.0, np.nan])).tolist()
    ['12', '']
    >>> as_texts(np.array([" a ", None, True], dtype=object)).tolist()
    ['a', '', 'true']
    """
    texts = np.empty(len(values), dtype=object)
    if values.dtype.kind == "O":
        with suppress(TypeError):
            # Far the quickest for a column of nothing but text; anything else raises.
            texts[:] = list(map(str.strip, values.tolist()))
            return texts
    texts[:] = [value.strip() if type(value) is str else _as_text(value) for value in values.tolist()]
    return texts


def as_numbers(values: NDArray[Any]) -> tuple[Numbers, Rows]:
    """Return values as numbers, nan where missing or unreadable, and which are unreadable.

    Examples
    --------
    >>> numbers, unreadable = as_numbers(np.array(["1.5", "", "1,5"], dtype=object))
    >>> numbers.tolist(), unreadable.tolist()
    ([1.5, nan, nan], [False, False, True])
    """
    if values.dtype.kind in "iuf":
        numbers = values.astype(np.float64)
        infinite = np.isinf(numbers)
        return np.where(infinite, np.nan, numbers), infinite
    texts = as_texts(values)
    numbers = np.array(
        [float(text) if text and _NUMBER.fullmatch(text) else np.nan for text in texts], dtype=np.float64
    )
    numbers[np.isinf(numbers)] = np.nan
    return numbers, np.isnan(numbers) & (texts != "")


def each_once(texts: Texts, meaning: Callable[[str], str]) -> Texts:
    """Return the meaning of each text, every different text looked at once: layers repeat few words often."""
    codes, words = pd.factorize(texts)
    meanings = np.empty(len(words), dtype=object)
    meanings[:] = [meaning(str(word)) for word in words]
    return meanings[codes]


def as_yes_no(texts: Texts, yes: Iterable[str], no: Iterable[str]) -> Texts:
    """Return "yes", "no", "" for blank, or "?" for a word that means neither.

    Examples
    --------
    >>> as_yes_no(np.array(["Found", "", "maybe", "NO"], dtype=object), ["found"], ["no"]).tolist()
    ['yes', '', '?', 'no']
    """
    meanings = {"": "", **dict.fromkeys(map(folded, no), "no"), **dict.fromkeys(map(folded, yes), "yes")}
    return each_once(texts, lambda text: meanings.get(folded(text), "?"))


def _as_text(value: object) -> str:
    if value is None or value != value:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value).strip()
