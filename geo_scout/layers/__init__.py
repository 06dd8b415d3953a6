"""Layers on disk become one LayerSet: opened, columns matched, values read, placed, checked."""

from geo_scout.layers.read import read_layers

__all__ = ["read_layers"]
