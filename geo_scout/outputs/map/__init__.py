"""The interactive map: one file that opens with no network."""

from geo_scout.outputs.map.write import write_map

__all__ = ["write_map"]
