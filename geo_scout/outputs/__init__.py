"""Everything that leaves the house: tables, layers, map, findings, manifest. Whole or not at all."""

from geo_scout.outputs.run_log import RunLog
from geo_scout.outputs.summary import summarise
from geo_scout.outputs.write import write_outputs

__all__ = ["RunLog", "summarise", "write_outputs"]
