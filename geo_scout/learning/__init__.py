"""What past outcomes say about the next choice: how well a score told them, which weights they suggest."""

from geo_scout.learning.assess import assess_agent
from geo_scout.learning.cases import case_table

__all__ = ["assess_agent", "case_table"]
