"""The tables of contents: what happens in what order for each command, and nothing else."""

from geo_scout.pipeline.backtest import backtest
from geo_scout.pipeline.season_run import (
    CheckResult,
    ask_about_law,
    check,
    rank_agent,
    rank_both,
    run,
)
from geo_scout.pipeline.season_start import StartResult, start, start_from
from geo_scout.pipeline.site_explained import explain, explain_result
from geo_scout.pipeline.week_page import week_page
from geo_scout.pipeline.window_dates import LearnResult, TimingResult, learn_window, time_windows

__all__ = [
    "CheckResult",
    "LearnResult",
    "StartResult",
    "TimingResult",
    "ask_about_law",
    "backtest",
    "check",
    "explain",
    "explain_result",
    "learn_window",
    "rank_agent",
    "rank_both",
    "run",
    "start",
    "start_from",
    "time_windows",
    "week_page",
]
