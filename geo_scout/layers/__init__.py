"""Layers on disk become one LayerSet: opened, columns matched, values read, placed, checked."""

from geo_scout.layers.not_looked_at import not_looked_at
from geo_scout.layers.read import read_layers

__all__ = ["not_looked_at", "read_layers"]
