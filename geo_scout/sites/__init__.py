"""Infestations become candidate patches."""

from geo_scout.sites.patches import find_patches

__all__ = ["find_patches"]
