"""The tables of weather and climate a season names, each read once."""

from dataclasses import dataclass

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.daily import daily_weather
from geo_scout.layers.weather.normals import station_normals
from geo_scout.layers.weather.yearly import yearly_climate
from geo_scout.model.season import Season
from geo_scout.model.weather import DailyWeather, StationNormals, YearlyClimate


@dataclass(frozen=True)
class Tables:
    """The tables as read.

    Parameters
    ----------
    weather, station_normals, yearly_climate
        None where the season has no such table or it cannot be used.
    noticed
        What was noticed, by layer, for the layers the season names.
    """

    weather: DailyWeather | None
    station_normals: StationNormals | None
    yearly_climate: YearlyClimate | None
    noticed: dict[str, Noticed]


def read_tables(season: Season) -> Tables:
    """Return the tables of a season; what is wrong in one is a finding and does not raise."""
    given, noticed = season.settings.layers, {}
    weather = normals = yearly = None
    if given.weather is not None:
        weather, noticed["weather"] = daily_weather(
            given.weather, season.file_of(given.weather.path), season.as_of, season.rules.max_bad_share
        )
    if given.station_normals is not None:
        normals, noticed["station_normals"] = station_normals(
            given.station_normals, season.file_of(given.station_normals.path)
        )
    if given.yearly_climate is not None:
        yearly, noticed["yearly_climate"] = yearly_climate(
            given.yearly_climate, season.file_of(given.yearly_climate.path)
        )
    return Tables(weather, normals, yearly, noticed)
