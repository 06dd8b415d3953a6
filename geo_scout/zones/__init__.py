"""The only room that reads raster cells: each raster once, in blocks, for everything asked of it."""

from geo_scout.zones.at_once import put_together
from geo_scout.zones.climate_lines import climate_lines
from geo_scout.zones.gaps import find_gaps
from geo_scout.zones.ground_lines import read_ground_lines
from geo_scout.zones.lapse_rises import population_rises_km, site_rises_km
from geo_scout.zones.quantities import climate_variables, collect_quantities
from geo_scout.zones.read import read_zones
from geo_scout.zones.relief import read_relief
from geo_scout.zones.site_columns import site_columns
from geo_scout.zones.stations import with_station_climate
from geo_scout.zones.zone_list import place_zones

__all__ = [
    "climate_lines",
    "climate_variables",
    "collect_quantities",
    "find_gaps",
    "place_zones",
    "population_rises_km",
    "put_together",
    "read_ground_lines",
    "read_relief",
    "read_zones",
    "site_columns",
    "site_rises_km",
    "with_station_climate",
]
