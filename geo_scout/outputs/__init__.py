"""Everything that leaves the house: tables, layers, map, findings, manifest. Whole or not at all."""

from geo_scout.outputs.backtest_files import write_backtest
from geo_scout.outputs.backtest_words import tell_backtest
from geo_scout.outputs.check_files import write_check
from geo_scout.outputs.check_words import check_as_json, json_text, tell_check
from geo_scout.outputs.earlier_run import read_earlier_run
from geo_scout.outputs.learned_words import tell_learned
from geo_scout.outputs.option_words import told_as_options
from geo_scout.outputs.run_log import RunLog
from geo_scout.outputs.summary import summarise
from geo_scout.outputs.timing_words import tell_agents, tell_windows
from geo_scout.outputs.week_words import tell_week
from geo_scout.outputs.write import write_outputs

__all__ = [
    "RunLog",
    "check_as_json",
    "json_text",
    "read_earlier_run",
    "summarise",
    "tell_agents",
    "tell_backtest",
    "tell_check",
    "tell_learned",
    "tell_week",
    "tell_windows",
    "told_as_options",
    "write_backtest",
    "write_check",
    "write_outputs",
]
