"""The command that holds the score against what became of past releases."""

import sys
from pathlib import Path
from typing import Any

import click

from geo_scout.cli.shell import AUDIENCES, OutputsFolder, progress, say
from geo_scout.errors import EXIT_NOTHING_FEASIBLE, IN_PLACE


@click.command("backtest")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--outputs",
    type=OutputsFolder(path_type=Path),
    help="Results folder; `backtest` beside the season's outputs otherwise.",
)
@click.option(
    "--audience",
    type=click.Choice(AUDIENCES),
    default="crew",
    show_default=True,
    help="public: treatments that ended a release are not told.",
)
def backtest_command(season: Path, outputs: Path | None, audience: Any) -> None:
    """Say how well the score of SEASON would have told which past releases establish.

    The site of each release is scored by what was known before it. With few outcomes it says that
    nothing can be concluded, and about how many more are needed.
    """
    from geo_scout.outputs import tell_backtest
    from geo_scout.pipeline import backtest

    is_done = False
    try:
        with progress() as listen:
            result, folder = backtest(season, outputs=outputs, audience=audience, listen=listen)
            is_done = True
        say(tell_backtest(result, audience))
        say(f"\nWritten to {folder}: open backtest.svg, backtest.csv or backtest_skill.csv.")
    except KeyboardInterrupt:
        if is_done:
            raise KeyboardInterrupt(IN_PLACE) from None
        raise
    if not result.has_cases:
        say("No release could be used; the reasons are in backtest.csv.", err=True)
        sys.exit(EXIT_NOTHING_FEASIBLE)
