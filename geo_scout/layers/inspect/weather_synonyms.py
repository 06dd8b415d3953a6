"""What people call tables and rasters of weather and climate, and their columns.

From common practice, gathered by us; a phrase matches in any order of its words, see `names`.
"""

from collections.abc import Mapping

_LOWEST = ("tmin", "t min", "tn", "tasmin", "min temp", "minimum temperature", "temp min", "min",
           "temperature minimum", "low", "low temp", "low temperature", "daily minimum", "mean daily minimum",
           "min air temp", "minimum air temperature", "air temperature minimum", "minimum", "mintemp",
           "tempmin")  # fmt: skip
_HIGHEST = ("tmax", "t max", "tx", "tasmax", "max temp", "maximum temperature", "temp max", "max",
            "temperature maximum", "high", "high temp", "high temperature", "daily maximum",
            "mean daily maximum", "max air temp", "maximum air temperature", "air temperature maximum",
            "maximum", "maxtemp", "tempmax")  # fmt: skip
_RAIN = ("precipitation", "prcp", "precip", "rain", "rainfall", "precipitation sum", "precipitation total",
         "total precipitation", "monthly precipitation", "daily precipitation")  # fmt: skip
TEMPERATURE_WORDS: Mapping[str, frozenset[str]] = {
    "degc": frozenset({"degc", "celsius", "c", "°c"}),
    "degf": frozenset({"degf", "fahrenheit", "f", "°f"}),
    "kelvin": frozenset({"kelvin", "k"}),
}
"""Words that name a unit of temperature."""

PRECIPITATION_WORDS: Mapping[str, frozenset[str]] = {
    "mm": frozenset({"mm", "millimetre", "millimeter"}),
    "cm": frozenset({"cm"}),
    "inch": frozenset({"inch", "inches", "in"}),
}
"""Words that name a unit of precipitation."""


def _with_units(phrases: tuple[str, ...], words: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    units = sorted(word for names in words.values() for word in names if word.isascii())
    return phrases + tuple(f"{phrase} {unit}" for phrase in phrases for unit in units)


_MEASURED: Mapping[str, tuple[str, ...]] = {
    "tmin": _with_units(_LOWEST, TEMPERATURE_WORDS),
    "tmax": _with_units(_HIGHEST, TEMPERATURE_WORDS),
    "precipitation": _with_units(_RAIN, PRECIPITATION_WORDS),
}
_PLACE = (
    "station",
    "station name",
    "station id",
    "site",
    "site id",
    "site name",
    "location",
    "name",
    "place",
)
_MONTH = ("month", "month number", "calendar month", "mth")
_STATION: Mapping[str, tuple[str, ...]] = {
    "station": (*_PLACE, "station code", "weather station"),
    "longitude_deg": (),
    "latitude_deg": (),
    "elevation_m": ("elevation", "elev", "altitude", "height", "elev m", "altitude m", "height m", "alt",
                    "station elevation", "station height"),
}  # fmt: skip
_DATE = ("date", "day", "observation date", "date observed", "obs date", "time", "datum", "weather date")

TABLE_COLUMN_PHRASES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "weather": {**_STATION, "date": _DATE, **_MEASURED},
    "station_normals": {**_STATION, "month": _MONTH, **_MEASURED},
    "yearly_climate": {
        "place": ("population", "population name", *_PLACE),
        "year": ("year", "yr", "calendar year"),
        "month": _MONTH,
        **_MEASURED,
    },
}
"""Per table and column of ours: what that column is called elsewhere."""

WEATHER_PHRASES: Mapping[str, tuple[str, ...]] = {
    "climate_elevation": ("climate elevation", "climate elev", "climate height", "climate altitude",
                          "climate dem", "climate terrain"),
    "extremes": ("extreme", "absolute minimum", "absolute maximum", "absolute min", "absolute max",
                 "record low", "record high"),
    "weather": ("weather", "daily weather", "daily temperature", "daily climate", "weather station"),
    "station_normals": ("normal", "station normal", "climate normal", "monthly normal", "monthly mean"),
    "yearly_climate": ("yearly climate", "annual climate", "yearly", "climate year", "climate history"),
}  # fmt: skip
"""Per layer of ours: what files and layers of that kind are called."""

TABLE_TELLING: Mapping[str, tuple[str, ...]] = {
    "weather": ("tmin", "tmax", "date"),
    "station_normals": ("tmin", "tmax", "month"),
    "yearly_climate": ("place", "year"),
}
"""Columns that set such a table apart from others."""

TABLE_AGAINST: Mapping[str, tuple[tuple[str, str], ...]] = {
    "weather": (("station_normals", "month"), ("releases", "agent")),
    "station_normals": (("weather", "date"), ("yearly_climate", "year")),
    "yearly_climate": (("weather", "date"),),
}
"""Columns of another layer (layer, column) that speak against such a table."""
