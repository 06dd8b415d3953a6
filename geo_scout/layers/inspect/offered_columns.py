"""Important columns that no name gave away: the unused columns that could be them, as a question."""

from collections.abc import Iterator

from geo_scout.layers.inspect.cell_tests import examples, range_words
from geo_scout.layers.inspect.date_formats import first_part
from geo_scout.layers.inspect.spare_columns import spare_columns
from geo_scout.layers.inspect.unit_guesses import cover_unit_of, needs_area
from geo_scout.layers.inspect.unit_words import area_unit_of
from geo_scout.model.draft import BLANK, FoundColumn, LayerGuess, SettingGuess

_AT_MOST = 4
_MEANINGS = {
    "area": "the area of each infestation",
    "cover": "the canopy cover of each infestation",
    "survey_date": "the day of each survey",
    "id": "your own id of each infestation",
    "manager": "who manages the land",
}
_WITHOUT = {
    "area": "points without an area are set aside or get the size you state",
    "cover": "without it the cover is unknown",
    "survey_date": "without it every survey counts as old",
    "id": "without it the row number stands in",
    "manager": "without it nobody is named to ask",
}
_Lines = tuple[tuple[str, object], ...]


def offer_columns(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield a question for each important column of the infestations that may be there under another name."""
    if layer.kind != "infestations":
        return
    for ours, meaning in _MEANINGS.items():
        if layer.matched(ours) is not None or (ours == "area" and not needs_area(layer)):
            continue
        spare = spare_columns(layer, ours)[:_AT_MOST]
        if len(spare) == 1:
            yield _ask_one(ours, meaning, spare[0])
        elif spare:
            yield _ask_several(ours, meaning, spare)


def _ask_one(ours: str, meaning: str, column: FoundColumn) -> SettingGuess:
    seen = range_words(column) if column.is_numeric else examples(column, 3).removeprefix("such as ")
    whole = " It must be the whole outline, for it is multiplied by the cover." if ours == "area" else ""
    question = f"Is '{column.name}' {meaning}? Its cells are {seen}; {_WITHOUT[ours]}.{whole}"
    more, choices = _goes_with(ours, column)
    return SettingGuess(f"columns.{ours}", column.name, seen, question, choices, more=more, is_offered=True)


def _ask_several(ours: str, meaning: str, spare: tuple[FoundColumn, ...]) -> SettingGuess:
    names = [f"'{column.name}'" for column in spare]
    shown = f"{', '.join(names[:-1])} or {names[-1]}"
    question = f"Does {shown} hold {meaning}? None was recognised; {_WITHOUT[ours]}."
    choices = tuple(column.name for column in spare)
    more: _Lines = ()
    if ours in ("area", "cover"):
        more, choices = ((f"units.{ours}", BLANK),), (f"one of {', '.join(choices)}, and its unit,",)
    elif ours == "survey_date" and any(column.date_formats != ("",) for column in spare):
        written = "%Y-%m-%d or the like for how its dates are written,"
        more, choices = (("date_format", BLANK),), (f"one of {', '.join(choices)}, and {written}",)
    return SettingGuess(
        f"columns.{ours}", BLANK, f"it may be {shown}", question, choices, more=more, is_offered=True
    )


def _goes_with(ours: str, column: FoundColumn) -> tuple[_Lines, tuple[str, ...]]:
    """Return the keys that have to be said with a column, and what can be written where one is open."""
    if ours == "area":
        unit = area_unit_of(column.name)
        return (("units.area", unit or BLANK),), () if unit else ("ha", "acre", "m2", "ft2", "km2")
    if ours == "cover":
        guess = cover_unit_of(column)
        return (("units.cover", guess.value),), guess.choices
    if ours == "survey_date" and column.date_formats != ("",):
        if len(column.date_formats) == 1:
            return (("date_format", column.date_formats[0]),), ()
        return (("date_format", BLANK),), tuple(
            f"{pattern} ({first_part(pattern)})" for pattern in column.date_formats
        )
    return (), ()
