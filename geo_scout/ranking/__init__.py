"""Measures become values, values become points, points become an order, with words for each site."""

from geo_scout.ranking.compare_methods import compare_methods
from geo_scout.ranking.explain import explain_patch, explain_ranking, explain_records
from geo_scout.ranking.explain_around import explain_around
from geo_scout.ranking.explain_dominance import explain_dominance
from geo_scout.ranking.explain_presence import explain_presence
from geo_scout.ranking.explain_robust import explain_robustness
from geo_scout.ranking.explain_supply import explain_supply
from geo_scout.ranking.explain_visit import explain_visit
from geo_scout.ranking.explain_windows import explain_windows
from geo_scout.ranking.rank import best_first, rank_sites
from geo_scout.ranking.redundant import find_idle, find_redundant
from geo_scout.ranking.robust import assess_robustness
from geo_scout.ranking.score import ScoredSites, score_sites
from geo_scout.ranking.weigh import weigh
from geo_scout.ranking.weight_findings import find_inconsistent

__all__ = [
    "ScoredSites",
    "assess_robustness",
    "best_first",
    "compare_methods",
    "explain_around",
    "explain_dominance",
    "explain_patch",
    "explain_presence",
    "explain_ranking",
    "explain_records",
    "explain_robustness",
    "explain_supply",
    "explain_visit",
    "explain_windows",
    "find_idle",
    "find_inconsistent",
    "find_redundant",
    "rank_sites",
    "score_sites",
    "weigh",
]
