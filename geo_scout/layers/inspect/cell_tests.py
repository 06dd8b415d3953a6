"""Whether the cells of a column can be what its name promises: a share from 0 to 1, and the words for it."""

from collections.abc import Callable, Mapping

import numpy as np

from geo_scout.formulas.cover_classes import SCHEMES
from geo_scout.layers.cells.dates import spreadsheet_day
from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma
from geo_scout.layers.cells.efforts import hours_with_units
from geo_scout.layers.cells.missing_signs import is_missing_sign
from geo_scout.layers.cells.units import scheme_name
from geo_scout.layers.inspect.answers import WORDS_AT_MOST, sort_answers
from geo_scout.layers.inspect.names import words_of
from geo_scout.model.column import Column
from geo_scout.model.draft import FoundColumn
from geo_scout.model.listed import counted, listed

Verdict = tuple[float, str]
NO: Verdict = (0.0, "")

_IDS = frozenset({"id", "release_id", "visit_id", "request_id", "treatment_id"})
_NAMES = frozenset({"host", "agent"})
_PEOPLE = frozenset({"observer", "manager", "owner"})
_FEW = frozenset({"class", "district", "jurisdiction", "road_class", "kind", "cover_scheme", "life_stage"})
_WHOLE: Mapping[str, tuple[float, float]] = {"month": (1.0, 12.0), "year": (1700.0, 2100.0)}
_MEASURED = frozenset({"tmin", "tmax", "precipitation"})
_LEAST_KNOWN = 0.3
_LEAST_FILLED = 0.5
_LEAST_NUMBERS, _SOME_NUMBERS = 0.9, 0.6
_SMALL, _REPEATED = 10_000.0, 0.9
_BLANK: Verdict = (0.3, "its cells are blank")
_CLASS_LABELS = frozenset(label for scheme in SCHEMES.values() for label in scheme.classes) | {"r", "0", "t"}


def cells_fit(ours: Column, column: FoundColumn, *, refers_elsewhere: bool = False) -> Verdict:
    """Return how well the cells of a column fit one of ours; 0 where they cannot be it.

    Parameters
    ----------
    ours
        Our column.
    column
        The file's.
    refers_elsewhere
        Whether it names ids of another layer, which may then stand more than once.
    """
    if not column.filled:
        return NO if ours.name in _IDS else _BLANK
    if ours.name == "cover_scheme":
        return _scheme(column)
    if ours.name in _IDS:
        return (0.8, examples(column)) if refers_elsewhere else _id(column)
    if ours.name in _NAMES:
        return _name(column)
    if ours.name in _PEOPLE:
        return _people(column)
    if ours.name in _FEW:
        return _few(column)
    if ours.name == "result":
        return _answer(column)
    if ours.name in _MEASURED:
        return _measured(column)
    if ours.name == "host_cover_pct":
        return _percent(column)
    if ours.name == "effort_hours":
        return _effort(column)
    if ours.name in _WHOLE:
        return _whole(column, *_WHOLE[ours.name])
    return _BY_KIND[ours.kind](column)


def examples(column: FoundColumn, at_most: int = 2) -> str:
    """Return a few values of a column in words."""
    shown = [f"'{text[:30]}'" for _, text in zip(range(at_most), column.counts, strict=False)]
    return f"such as {' and '.join(shown)}" if shown else "blank"


def day_example(column: FoundColumn) -> str:
    """Return the first day number of a column with its day, in words."""
    text = next(iter(column.counts))
    return f"'{text}' for {spreadsheet_day(text)}"


def range_words(column: FoundColumn) -> str:
    """Return the range of a column's numbers in words."""
    return f"numbers from {number_words(column.least)} to {number_words(column.most)}"


def number_words(value: float) -> str:
    """Return a number as people write it, large ones without an exponent.

    Examples
    --------
    >>> number_words(0.05), number_words(5216123.5)
    ('0.05', '5,216,124')
    """
    return f"{value:,.0f}" if 1e4 <= abs(value) < 1e15 else f"{value:g}"


def _id(column: FoundColumn) -> Verdict:
    is_date = bool(column.date_formats) and (column.is_spreadsheet_day or not column.is_whole)
    # A column that is mostly blank names no rows, whatever it is called.
    if is_date or column.filled < _LEAST_FILLED * len(column.values):
        return NO
    different = len(column.counts) / column.filled
    if different == 1.0:
        return 1.0, "every value is different"
    if is_tally(column):
        return NO
    if different > 0.95:
        return 0.9, f"{_different(column)} in {column.filled:,} rows"
    return 0.15, f"only {_different(column)} in {column.filled:,} rows"


def _different(column: FoundColumn) -> str:
    return counted(len(column.counts), "different value")


def is_tally(column: FoundColumn) -> bool:
    """Return whether small whole numbers with repeats are counts of something; not where it is called id."""
    is_small = column.is_numeric and column.is_whole and column.most < _SMALL
    is_called = "id" in words_of(column.name)
    return is_small and not is_called and len(column.counts) <= _REPEATED * column.filled


def _name(column: FoundColumn) -> Verdict:
    if column.numbers_share > 0.2 or column.date_formats:
        return NO
    different = len(column.counts)
    words = f"{counted(different, 'name')}, {examples(column)}"
    if different <= 12 or different <= 0.3 * column.filled:
        return 1.0, words
    return (0.5, words) if different <= 0.7 * column.filled else (0.2, words)


def _few(column: FoundColumn) -> Verdict:
    if column.date_formats:
        return NO
    different = len(column.counts)
    words = f"{counted(different, 'value')}, {examples(column)}"
    if column.is_numeric and not column.is_whole:
        return NO
    return (0.9, words) if different <= max(12.0, 0.5 * column.filled) else (0.4, words)


def _scheme(column: FoundColumn) -> Verdict:
    known = [text for text in column.counts if scheme_name(text)]
    if not known:
        return NO
    return len(known) / len(column.counts), f"it names {listed(known)}"


def _date(column: FoundColumn) -> Verdict:
    if column.is_typed_date:
        return 1.0, "the file says these are dates"
    if not column.date_formats:
        return NO
    if column.is_spreadsheet_day:
        return 0.9, f"its cells are day numbers of a spreadsheet, {day_example(column)}"
    if column.is_numeric and column.least < 10_000_000:
        return NO
    return 1.0, f"its cells are dates, {examples(column, 1)}"


def _number(column: FoundColumn) -> Verdict:
    if column.numbers_share < 0.9:
        return NO
    return 1.0, range_words(column)


def _effort(column: FoundColumn) -> Verdict:
    """Return whether cells are hours, as numbers or each with its unit."""
    if hours_with_units(np.array(list(column.counts), dtype=object)) is not None:
        return 1.0, f"each cell has its unit, {examples(column)}"
    return _number(column)


def _measured(column: FoundColumn) -> Verdict:
    """Return whether what was measured are numbers, signs for missing left out."""
    texts = [text for text in column.counts if not is_missing_sign(text)]
    numbers, _, _ = as_numbers_with_comma(np.array(texts, dtype=object), None)
    known = numbers[np.isfinite(numbers)]
    if not known.size or known.size < 0.9 * numbers.size:
        return NO
    return 1.0, f"numbers from {number_words(float(known.min()))} to {number_words(float(known.max()))}"


def _whole(column: FoundColumn, least: float, most: float) -> Verdict:
    is_within = column.is_whole and least <= column.least and column.most <= most
    return _number(column) if is_within else NO


def _percent(column: FoundColumn) -> Verdict:
    """Return whether numbers can be percent: up to 1 they are shares as well."""
    return _number(column) if column.least >= 0.0 and 1.0 < column.most <= 100.0 else NO


def _area(column: FoundColumn) -> Verdict:
    if column.numbers_share < _SOME_NUMBERS or column.most <= 0.0 or column.date_formats:
        return NO
    if column.numbers_share >= _LEAST_NUMBERS:
        return 1.0, range_words(column)
    odd = next(text for text in column.counts if not _is_number(text))
    return 0.6, f"{range_words(column)}, but also '{odd[:30]}'"


def _cover(column: FoundColumn) -> Verdict:
    texts = [text.casefold().removesuffix("%").strip() for text in column.counts]
    labels = sum(text in _CLASS_LABELS for text in texts) / len(texts)
    as_numbers, _, _ = as_numbers_with_comma(np.array(texts, dtype=object), None)
    numbers = float(((as_numbers >= 0.0) & (as_numbers <= 100.0)).mean())
    if numbers >= 0.95:
        return 1.0, f"its cells are {range_words(column) if column.is_numeric else examples(column)}"
    if labels >= 0.8 or max(labels, numbers) >= 0.8:
        return 0.9, f"its cells are numbers or class labels, {examples(column)}"
    is_words = column.numbers_share < 0.5 and len(texts) <= WORDS_AT_MOST
    return (0.5, f"its cells may be classes, {examples(column)}") if is_words else NO


def _is_number(text: str) -> bool:
    number, _, _ = as_numbers_with_comma(np.array([text], dtype=object), None)
    return bool(np.isfinite(number[0]))


def _people(column: FoundColumn) -> Verdict:
    """Return whether cells can name people: no numbers, no dates, and not nothing but yes and no."""
    if column.numbers_share > 0.2 or column.date_formats or sort_answers(column.counts).share_known == 1.0:
        return NO
    return 0.8, f"text, {examples(column)}"


def _answer(column: FoundColumn) -> Verdict:
    if len(column.counts) > WORDS_AT_MOST or column.date_formats:
        return NO
    answers = sort_answers(column.counts)
    if answers.share_known < _LEAST_KNOWN:
        return NO
    words = listed([f"'{text}'" for text in column.counts], 4)
    return 0.4 + 0.6 * answers.share_known, f"its words are {words}"


def _text(column: FoundColumn) -> Verdict:
    if column.date_formats and column.numbers_share < 1.0:
        return NO
    return (0.4, range_words(column)) if column.is_numeric else (0.8, f"text, {examples(column)}")


_BY_KIND: Mapping[str, Callable[[FoundColumn], Verdict]] = {
    "text": _text,
    "number": _number,
    "date": _date,
    "yes or no": _answer,
    "cover": _cover,
    "area": _area,
}
