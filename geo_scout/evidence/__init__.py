"""Release and visit records, held against the patches, become evidence."""

from geo_scout.evidence.host_around import host_around_parts
from geo_scout.evidence.position_doubts import population_uncertainty_m
from geo_scout.evidence.presence_steps import presence_steps
from geo_scout.evidence.records import gather_evidence

__all__ = ["gather_evidence", "host_around_parts", "population_uncertainty_m", "presence_steps"]
