"""Climate gap to the best-matching confirmed or known population; lower is better."""

from geo_scout.criteria.climate_gap.best_source import with_best_sources
from geo_scout.criteria.climate_gap.measuring import NEEDS, UNIT, describe, measure

__all__ = ["NEEDS", "UNIT", "describe", "measure", "with_best_sources"]
