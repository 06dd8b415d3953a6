"""The command line: arguments in, exit code out. No science here; rooms load when a command runs."""

import gc
import os
import sys
import traceback
from pathlib import Path
from typing import Any

import click

from geo_scout.cli.backtest_command import backtest_command
from geo_scout.cli.shell import AUDIENCES, OutputsFolder, progress, say
from geo_scout.cli.timing_commands import agents_command, timing_command, week_command
from geo_scout.errors import EXIT_BUG, EXIT_INTERRUPTED, EXIT_NOTHING_FEASIBLE, IN_PLACE, GeoScoutError

FOREIGN_SETTINGS = ("GDAL_", "OGR_", "OSR_", "PROJ_", "CPL_", "GTIFF_", "SHAPE_", "SQLITE_")
NEW_OBJECTS_BETWEEN_SWEEPS = 100_000
CRASH_FILE = "geo_scout-crash.txt"

HELP = """Plan a weed biological-control season from your own maps.

Ranks collection sources and release sites, says why each site stands where it stands, and writes a
map that opens without a network and lists a crew leader can carry.

\b
Begin with:
  geo-scout start my_season
  geo-scout run my_season/season.toml
"""

START_HELP = """Begin a season in FOLDER; never overwrites a file.

Without --from a small invented season is copied. With it, a season is drafted from your own layers: they
are only read, what they are is guessed with the evidence shown, and what only you can know is asked.

\b
For example:
  geo-scout start my_season --from weeds.shp releases.csv climate/
"""


@click.group(help=HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="geo-scout", prog_name="geo-scout")
def commands() -> None:
    """Hold the commands together."""


@commands.command("run")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--outputs", type=OutputsFolder(path_type=Path), help="Results folder instead of the season's own."
)
@click.option(
    "--audience",
    type=click.Choice(AUDIENCES),
    default="crew",
    show_default=True,
    help="crew: everything; board: no contacts; public: no owners, permissions or requests.",
)
def run_command(season: Path, outputs: Path | None, audience: Any) -> None:
    """Rank the sources and release sites of SEASON and write the results."""
    from geo_scout.outputs import summarise
    from geo_scout.pipeline import run

    is_done = False
    try:
        with progress() as listen:
            result = run(season, outputs=outputs, audience=audience, listen=listen)
            is_done = True
        say(summarise(result))
        say(f"\nWritten to {result.outputs}: open map.html, release_sites.csv or sources.csv.")
    except KeyboardInterrupt:
        if is_done:
            raise KeyboardInterrupt(IN_PLACE) from None
        raise
    if not result.is_feasible:
        say("Every site of every ranking is left out; the reasons are in the tables.", err=True)
        sys.exit(EXIT_NOTHING_FEASIBLE)


@commands.command("check")
@click.argument("season", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of words.")
@click.option(
    "--outputs",
    type=OutputsFolder(path_type=Path),
    help="Also write findings.csv, findings.json and findings.geojson (a map layer) into this folder.",
)
def check_command(season: Path, as_json: bool, outputs: Path | None) -> None:
    """Say what is wrong or doubtful in the layers of SEASON, and what was not looked at.

    A stop makes a layer untrue and ends with exit code 2; a caution changes what to believe; a note
    says what was done.
    """
    from geo_scout.outputs import check_as_json, json_text, tell_check, write_check
    from geo_scout.pipeline import check

    checked = check(season)
    if outputs is not None:
        write_check(outputs, checked.season, checked.findings, checked.not_looked_at)
    if as_json:
        title = checked.season.settings.season.title
        say(json_text(check_as_json(title, checked.findings, checked.not_looked_at)))
    else:
        say(tell_check(checked.findings, checked.not_looked_at))
    if checked.stops:
        sys.exit(GeoScoutError.exit_code)


@commands.command("explain")
@click.argument("season", type=click.Path(path_type=Path))
@click.argument("site")
def explain_command(season: Path, site: str) -> None:
    """Print the chain from layer values to rank for one SITE of SEASON."""
    from geo_scout.pipeline import explain

    say(explain(season, site))


@commands.command("start", help=START_HELP)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "named",
    multiple=True,
    metavar="LAYERS...",
    type=click.Path(path_type=Path),
    help="Files or folders with your own layers, to draft a season from; may be repeated.",
)
@click.argument("more", nargs=-1, type=click.Path(path_type=Path), metavar="")
def start_command(folder: Path, named: tuple[Path, ...], more: tuple[Path, ...]) -> None:
    """Copy the starter season, or draft one from the user's own layers."""
    if named:
        _start_from(folder, (*named, *more))
        return
    if more:
        message = f"write --from before your layers: geo-scout start {folder} --from {more[0]}"
        raise click.UsageError(message)
    from geo_scout.season import start_season

    season = start_season(folder)
    say(f"Started {season}.\nNext: geo-scout run {season}")


commands.add_command(backtest_command)
commands.add_command(agents_command)
commands.add_command(timing_command)
commands.add_command(week_command)


def _start_from(folder: Path, layers: tuple[Path, ...]) -> None:
    """Draft a season and print what was found, what is open, and what a first look at the layers says."""
    from geo_scout.outputs import tell_check
    from geo_scout.pipeline import start_from

    started = start_from(folder, layers)
    say(started.draft.found_text)
    say("\nWhat check says so far, with stand-ins for the answers that are open\n")
    if started.checked is None:
        say("Nothing: there are no infestations to read yet.")
    else:
        say(tell_check(started.checked.findings, started.checked.not_looked_at))
    say(f"\n{started.draft.questions_text}")
    needed = [str(question.number) for question in started.draft.questions if question.is_needed]
    say(
        f"\nWrote {started.season_file}. Answer the needed questions first: {', '.join(needed)}.\n"
        f"Then: geo-scout check {started.season_file}"
    )


def main() -> None:
    """Run the command line and end with its exit code."""
    # Another GIS installation's data files break the copies our wheels carry, its settings change results.
    # Large tables make millions of small objects and hardly a cycle: looking for cycles at every 700 of them
    # costs a twentieth of a run.
    gc.set_threshold(NEW_OBJECTS_BETWEEN_SWEEPS)
    for name in [name for name in os.environ if name.startswith(FOREIGN_SETTINGS)]:
        del os.environ[name]
    os.environ["GDAL_CONFIG_FILE"] = ""  # else those of the home folder are read
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="replace")
    try:
        commands.main(standalone_mode=False)
    except (click.exceptions.Abort, KeyboardInterrupt) as error:
        # click hands an interrupt on as the cause of its own.
        said = str(error.__cause__ or error) or "nothing was replaced."
        _leave(f"interrupted; {said}", EXIT_INTERRUPTED)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except GeoScoutError as error:
        _leave(str(error), error.exit_code)
    except Exception:
        _leave(_crash_note(), EXIT_BUG)


def _leave(message: str, code: int) -> None:
    say(message, err=True)
    sys.exit(code)


def _crash_note() -> str:
    """Write the traceback beside the user and say where it is."""
    report = f"{' '.join(sys.argv)}\n\n{traceback.format_exc()}"
    try:
        Path(CRASH_FILE).write_text(report, encoding="utf-8")
    except OSError:
        return f"geo_scout failed, and this is our fault:\n\n{report}"
    return f"geo_scout failed, and this is our fault. {CRASH_FILE} says where; nothing was replaced."
