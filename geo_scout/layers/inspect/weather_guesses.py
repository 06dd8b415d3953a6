"""Units, years and places of tables of weather and climate."""

import re
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma
from geo_scout.layers.cells.missing_signs import is_missing_sign
from geo_scout.layers.inspect.climate_units import (
    guess_precipitation_unit,
    guess_temperature_unit,
    unit_said,
)
from geo_scout.layers.inspect.names import words_of
from geo_scout.model.draft import BLANK, FoundColumn, LayerGuess, SettingGuess

_YEARS = re.compile(
    r"(?<![0-9])(1[89][0-9]{2}|20[0-9]{2})\s*(?:-|_|to|\u2013)\s*(1[89][0-9]{2}|20[0-9]{2})(?![0-9])"
)
_POSITION = ("longitude_deg", "latitude_deg")


def guess_weather_settings(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield what the season has to say of a table of weather that the table does not say itself."""
    temperatures = [column for name in ("tmin", "tmax") if (column := layer.matched(name))]
    if temperatures and (numbers := _numbers(temperatures)).size:
        names = " and ".join(f"'{column.name}'" for column in temperatures)
        said = _said("temperature", temperatures)
        yield from guess_temperature_unit(names, said, float(numbers.min()), float(numbers.max()))
    rain = layer.matched("precipitation")
    if rain is not None and (numbers := _numbers([rain])).size:
        span = "day" if layer.kind == "weather" else "month"
        said = _said("precipitation", [rain])
        yield from guess_precipitation_unit(said, float(numbers.min()), float(numbers.max()), span)
    if layer.kind == "station_normals":
        yield _period(layer)
    yield from _places(layer)


def _numbers(columns: list[FoundColumn]) -> NDArray[np.float64]:
    texts = [text for column in columns for text in column.counts if not is_missing_sign(text)]
    numbers, _, _ = as_numbers_with_comma(np.array(texts, dtype=object), None)
    return numbers[np.isfinite(numbers)]


def _said(element: str, columns: list[FoundColumn]) -> str:
    words = (word for column in columns for word in (*words_of(column.name), *column.name.casefold().split()))
    return unit_said(element, (word.strip("()[]") for word in words))


def _period(layer: LayerGuess) -> SettingGuess:
    match = _YEARS.search(layer.path.stem)
    if match:
        return SettingGuess("period", f"{match[1]}-{match[2]}", "the file's name says so")
    question = "Which years are these normals the mean of? The outputs name them beside each date."
    return SettingGuess("period", None, "the file does not say", question)


def _places(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield the question for stations that stand nowhere: several cannot be told apart without a place."""
    station = layer.matched("station")
    if station is None or len(station.counts) < 2 or layer.vector is None:
        return
    used = {guess.theirs for guess in layer.columns}
    unused = tuple(column.name for column in layer.vector.columns if column.name not in used)
    for name in _POSITION:
        if layer.matched(name) is None:
            axis = name.removesuffix("_deg")
            question = (
                f"Which column holds the {axis} of each station? There are {len(station.counts):,} stations "
                "and none was recognised; add one to the table where there is none."
            )
            yield SettingGuess(f"columns.{name}", BLANK, "not recognised", question, unused, is_needed=True)
