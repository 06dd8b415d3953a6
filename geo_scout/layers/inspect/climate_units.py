"""In which unit temperature and precipitation are: from what is said of them, else from their range."""

from collections.abc import Iterable, Iterator, Mapping

from geo_scout.layers.inspect.weather_synonyms import PRECIPITATION_WORDS, TEMPERATURE_WORDS
from geo_scout.model.columns import CLIMATE_UNITS
from geo_scout.model.draft import BLANK, SettingGuess

UNIT_WORDS: Mapping[str, Mapping[str, frozenset[str]]] = {
    "temperature": TEMPERATURE_WORDS,
    "precipitation": PRECIPITATION_WORDS,
}
# Temperatures on land: below -65 or, with more than a Kelvin scale can span, above 125 they can only be
# tenths; from 55 up they may be Fahrenheit, Kelvin or tenths.
_TENTHS, _TENTHS_ABOVE, _KELVIN_SPREAD, _HIGHEST_DEGC = 65.0, 125.0, 90.0, 55.0
_LOWEST_MOST_MM = 12.0


def unit_said(element: str, words: Iterable[str]) -> str:
    """Return the unit that words name; empty where they name none or more than one.

    >>> unit_said("temperature", ["tmin", "degf"]), unit_said("precipitation", ["rain"])
    ('degf', '')
    """
    there = set(words)
    named = [unit for unit, names in UNIT_WORDS[element].items() if there & names]
    return named[0] if len(named) == 1 else ""


def guess_temperature_unit(name: str, said: str, least: float, most: float) -> Iterator[SettingGuess]:
    """Yield the unit of temperatures, with a question where nothing says it.

    Parameters
    ----------
    name
        What to call them.
    said
        The unit that something says; empty for none.
    least, most
        Their range, in the unit nobody knows.
    """
    if said:
        if said != "degc":
            yield SettingGuess("units.temperature", said, f"its name, unit or band says {said}")
        return
    seen = f"values from {least:,.4g} to {most:,.4g}"
    question = f"In which unit is {name}? The file does not say; {seen}."
    choices = CLIMATE_UNITS["temperature"]
    if least < -_TENTHS or (most > _TENTHS_ABOVE and most - least > _KELVIN_SPREAD):
        yield SettingGuess(
            "units.temperature", "tenths of degc", f"{seen}, as tenths would", question, choices
        )
    elif most > _HIGHEST_DEGC:
        yield SettingGuess("units.temperature", BLANK, seen, question, choices, is_needed=True)
    else:
        yield SettingGuess("units.temperature", "degc", f"{seen}, as degrees C would", question, choices)


def guess_precipitation_unit(said: str, least: float, most: float, span: str) -> Iterator[SettingGuess]:
    """Yield the unit of precipitation, with a question where nothing says it.

    Parameters
    ----------
    said
        The unit that something says; empty for none.
    least, most
        Its range, in the unit nobody knows.
    span
        What it is the sum of: ``"month"`` or ``"day"``.
    """
    if said:
        if said != "mm":
            yield SettingGuess("units.precipitation", said, f"its name, unit or band says {said}")
        return
    seen = f"values from {least:,.4g} to {most:,.4g}"
    choices = CLIMATE_UNITS["precipitation"]
    question = f"In which unit is precipitation? The file does not say; {seen} a {span}."
    if most < _LOWEST_MOST_MM:
        yield SettingGuess("units.precipitation", BLANK, seen, question, choices, is_needed=True)
    else:
        yield SettingGuess("units.precipitation", "mm", f"{seen}, as mm would", question, choices)
