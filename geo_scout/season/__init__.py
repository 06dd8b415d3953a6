"""The season file and the agent profiles: read whole, with every mistake at once; started or drafted anew."""

from geo_scout.season.draft import (
    compose_draft,
    refuse_before_reading,
    refuse_nothing_found,
    unanswered_season,
    write_draft,
)
from geo_scout.season.read import read_season
from geo_scout.season.starter import start_season

__all__ = [
    "compose_draft",
    "read_season",
    "refuse_before_reading",
    "refuse_nothing_found",
    "start_season",
    "unanswered_season",
    "write_draft",
]
