"""A user's own files looked at: what each seems to be, why, and what only the user knows."""

from geo_scout.layers.inspect.inspect_files import inspect_files

__all__ = ["inspect_files"]
