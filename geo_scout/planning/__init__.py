"""Where to scout: visits that can change a decision, best first."""

from geo_scout.planning.scouting_lists import plan_scouting

__all__ = ["plan_scouting"]
