"""When windows open and close at each site: by heat, by the calendar, by what is to be seen, or unknown."""

from geo_scout.timing.by_year import dates_by_year
from geo_scout.timing.cautions import with_cautions
from geo_scout.timing.continued import continued_weather, known_names, named_like, strangers
from geo_scout.timing.daylength_cautions import daylength_cautions
from geo_scout.timing.heat_trace import heat_trace
from geo_scout.timing.learn import learn
from geo_scout.timing.next_windows import next_where_closed
from geo_scout.timing.places import at_stations, spread_of
from geo_scout.timing.season_days import season_reference
from geo_scout.timing.site_places import at_patches
from geo_scout.timing.stations import StationRecord, record_of, stations_used
from geo_scout.timing.week import days_moved, monday_of, weeks_of
from geo_scout.timing.windows import site_windows
from geo_scout.timing.yearly_extremes import yearly_extremes
from geo_scout.timing.yearly_heat import yearly_heat

__all__ = [
    "StationRecord",
    "at_patches",
    "at_stations",
    "continued_weather",
    "dates_by_year",
    "daylength_cautions",
    "days_moved",
    "heat_trace",
    "known_names",
    "learn",
    "monday_of",
    "named_like",
    "next_where_closed",
    "record_of",
    "season_reference",
    "site_windows",
    "spread_of",
    "stations_used",
    "strangers",
    "weeks_of",
    "with_cautions",
    "yearly_extremes",
    "yearly_heat",
]
