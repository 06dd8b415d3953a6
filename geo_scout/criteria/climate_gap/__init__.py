"""Climate gap to the best-matching confirmed or known population; lower is better."""

from geo_scout.criteria.climate_gap.best_source import with_best_sources
from geo_scout.criteria.climate_gap.lapse_error import gaps_at_lapse_errors
from geo_scout.criteria.climate_gap.measuring import NEEDS, UNIT, describe, measure
from geo_scout.criteria.climate_gap.pairs import possible_sources

__all__ = [
    "NEEDS",
    "UNIT",
    "describe",
    "gaps_at_lapse_errors",
    "measure",
    "possible_sources",
    "with_best_sources",
]
