"""Tables of weather and climate: opened, columns matched, units brought to ours, days and months checked."""

from geo_scout.layers.weather.daily import daily_weather
from geo_scout.layers.weather.loose_tables import daily_or_normals, dated_catches
from geo_scout.layers.weather.normals import station_normals
from geo_scout.layers.weather.tables import Tables, read_tables
from geo_scout.layers.weather.yearly import yearly_climate

__all__ = [
    "Tables",
    "daily_or_normals",
    "daily_weather",
    "dated_catches",
    "read_tables",
    "station_normals",
    "yearly_climate",
]
