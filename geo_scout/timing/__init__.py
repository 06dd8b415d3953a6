"""When windows open and close at each site: by heat, by the calendar, by what is to be seen, or unknown."""

from geo_scout.timing.heat_windows import yearly_heat
from geo_scout.timing.learn import learn
from geo_scout.timing.places import at_stations, spread_of
from geo_scout.timing.site_places import at_patches
from geo_scout.timing.stations import StationRecord, record_of
from geo_scout.timing.week import days_moved, weeks_of
from geo_scout.timing.windows import season_reference, site_windows

__all__ = [
    "StationRecord",
    "at_patches",
    "at_stations",
    "days_moved",
    "learn",
    "record_of",
    "season_reference",
    "site_windows",
    "spread_of",
    "weeks_of",
    "yearly_heat",
]
