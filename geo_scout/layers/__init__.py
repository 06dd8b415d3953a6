"""Layers on disk become one LayerSet: opened, columns matched, values read, placed, checked."""

from geo_scout.layers.hindsight import known_on, tell_hindsight
from geo_scout.layers.not_looked_at import not_looked_at
from geo_scout.layers.read import read_layers

__all__ = ["known_on", "not_looked_at", "read_layers", "tell_hindsight"]
