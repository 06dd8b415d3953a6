"""Infestations become candidate patches."""

from geo_scout.sites.area_doubts import doubt_areas
from geo_scout.sites.patches import find_patches

__all__ = ["doubt_areas", "find_patches"]
