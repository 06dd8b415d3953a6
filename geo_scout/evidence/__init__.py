"""Release and visit records, held against the patches, become evidence."""

from geo_scout.evidence.host_around import host_around_parts
from geo_scout.evidence.placing import place_records
from geo_scout.evidence.position_doubts import population_uncertainty_m
from geo_scout.evidence.presence_steps import presence_steps
from geo_scout.evidence.records import gather_evidence
from geo_scout.evidence.records_by_year import look_back
from geo_scout.evidence.release_outcomes import judge_releases

__all__ = [
    "gather_evidence",
    "host_around_parts",
    "judge_releases",
    "look_back",
    "place_records",
    "population_uncertainty_m",
    "presence_steps",
]
