"""The only room that reads raster cells: each raster once, in blocks, for everything asked of it."""

from geo_scout.zones.gaps import find_gaps
from geo_scout.zones.quantities import collect_quantities
from geo_scout.zones.read import read_zones
from geo_scout.zones.relief import read_relief
from geo_scout.zones.site_columns import site_columns
from geo_scout.zones.zone_list import place_zones

__all__ = ["collect_quantities", "find_gaps", "place_zones", "read_relief", "read_zones", "site_columns"]
