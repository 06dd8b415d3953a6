"""The season file and the agent profiles: read whole, with every mistake at once; started or drafted anew."""

from geo_scout.season.draft import (
    compose_draft,
    refuse_before_reading,
    refuse_nothing_found,
    unanswered_season,
    write_draft,
)
from geo_scout.season.profiles import read_profile, read_shipped_profiles, read_shipped_text
from geo_scout.season.read import read_season
from geo_scout.season.starter import start_season

__all__ = [
    "compose_draft",
    "read_profile",
    "read_season",
    "read_shipped_profiles",
    "read_shipped_text",
    "refuse_before_reading",
    "refuse_nothing_found",
    "start_season",
    "unanswered_season",
    "write_draft",
]
