"""Infestations become candidate patches; release and visit records become evidence."""

from geo_scout.sites.host_around import host_around_parts
from geo_scout.sites.patches import find_patches
from geo_scout.sites.records import gather_evidence

__all__ = ["find_patches", "gather_evidence", "host_around_parts"]
