"""The command line: arguments in, exit code out. No science here; rooms load when a command runs."""

import os
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from geo_scout.errors import EXIT_BUG, EXIT_INTERRUPTED, EXIT_NOTHING_FEASIBLE, GeoScoutError

FOREIGN_SETTINGS = ("PROJ_LIB", "PROJ_DATA", "GDAL_DATA", "GDAL_DRIVER_PATH")
AUDIENCES = ("crew", "board", "public")
CRASH_FILE = "geo_scout-crash.txt"


HELP = """Plan a weed biological-control season from your own maps.

Ranks collection sources and release sites, says why each site stands where it stands, and writes a
map that opens without a network and lists a crew leader can carry.

\b
Begin with:
  geo-scout start my_season
  geo-scout run my_season/season.toml
"""


@click.group(help=HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="geo-scout", prog_name="geo-scout")
def commands() -> None:
    """Hold the commands together."""


@commands.command("run")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--outputs", type=click.Path(path_type=Path), help="Results folder instead of the season's own."
)
@click.option(
    "--audience",
    type=click.Choice(AUDIENCES),
    default="crew",
    show_default=True,
    help="crew: everything; board: no contacts; public: no owners, permissions, requests or bases.",
)
def run_command(season: Path, outputs: Path | None, audience: Any) -> None:
    """Rank the sources and release sites of SEASON and write the results."""
    from geo_scout.outputs import summarise
    from geo_scout.pipeline import run

    with _progress() as listen:
        result = run(season, outputs=outputs, audience=audience, listen=listen)
    click.echo(summarise(result))
    click.echo(f"\nWritten to {result.outputs}: open map.html, release_sites.csv or sources.csv.")
    if not result.is_feasible:
        click.echo("Every site of every ranking is left out; the reasons are in the tables.", err=True)
        sys.exit(EXIT_NOTHING_FEASIBLE)


@commands.command("check")
@click.argument("season", type=click.Path(path_type=Path))
def check_command(season: Path) -> None:
    """Say what is wrong or doubtful in the layers of SEASON."""
    from geo_scout.pipeline import check

    checked = check(season)
    for finding in checked.findings:
        click.echo(finding.text())
    counts = ", ".join(
        f"{sum(f.grade == grade for f in checked.findings)} {grade}" for grade in ("stop", "caution", "note")
    )
    click.echo(f"{season}: {counts}")
    if checked.stops:
        sys.exit(GeoScoutError.exit_code)


@commands.command("explain")
@click.argument("season", type=click.Path(path_type=Path))
@click.argument("site")
def explain_command(season: Path, site: str) -> None:
    """Print the chain from layer values to rank for one SITE of SEASON."""
    from geo_scout.pipeline import explain

    click.echo(explain(season, site))


@commands.command("start")
@click.argument("folder", type=click.Path(path_type=Path))
def start_command(folder: Path) -> None:
    """Copy a small invented season into FOLDER; never overwrites a file."""
    from geo_scout.season import start_season

    season = start_season(folder)
    click.echo(f"Started {season}.\nNext: geo-scout run {season}")


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """Show the steps on a terminal; stay silent in a file or a pipe."""
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=console, disable=not console.is_terminal) as bars:
        tasks: list[Any] = []

        def listen(step: str) -> None:
            if tasks:
                bars.update(tasks[-1], total=1, completed=1)
            tasks.append(bars.add_task(step, total=None))

        yield listen
        if tasks:
            bars.update(tasks[-1], total=1, completed=1)


def main() -> None:
    """Run the command line and end with its exit code."""
    # Another GIS installation's data files break the copies our wheels carry.
    for name in FOREIGN_SETTINGS:
        os.environ.pop(name, None)
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="replace")
    try:
        commands.main(standalone_mode=False)
    except click.exceptions.Abort:
        _leave("interrupted; nothing was replaced.", EXIT_INTERRUPTED)
    except KeyboardInterrupt:
        _leave("interrupted; nothing was replaced.", EXIT_INTERRUPTED)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except GeoScoutError as error:
        _leave(str(error), error.exit_code)
    except Exception:
        _leave(_crash_note(), EXIT_BUG)


def _leave(message: str, code: int) -> None:
    click.echo(message, err=True)
    sys.exit(code)


def _crash_note() -> str:
    """Write the traceback beside the user and say where it is."""
    report = f"{' '.join(sys.argv)}\n\n{traceback.format_exc()}"
    try:
        Path(CRASH_FILE).write_text(report, encoding="utf-8")
    except OSError:
        return f"geo_scout failed, and this is our fault:\n\n{report}"
    return f"geo_scout failed, and this is our fault. {CRASH_FILE} says where; nothing was replaced."
