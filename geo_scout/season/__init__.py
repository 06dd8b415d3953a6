"""The season file and the agent profiles: read whole, with every mistake at once."""

from geo_scout.season.read import read_season
from geo_scout.season.starter import start_season

__all__ = ["read_season", "start_season"]
