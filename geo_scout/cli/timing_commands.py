"""Commands about the time of year: window dates, and the profiles that come with the package."""

import datetime as dt
import sys
from pathlib import Path
from typing import Any

import click

_CATCH_COLUMNS = ("count", "date", "station")


@click.command("agents")
@click.argument("name", required=False)
def agents_command(name: str | None) -> None:
    r"""List the agent profiles that come with geo_scout, or print the one called NAME.

    \b
    For example:
      geo-scout agents
      geo-scout agents "Aphthona lacertosa" > my_season/agents/flea_beetle.toml
    """
    from geo_scout.outputs import tell_agents
    from geo_scout.season import read_shipped_profiles, read_shipped_text

    if name is None:
        click.echo(tell_agents(read_shipped_profiles()))
    else:
        click.echo(read_shipped_text(name), nl=False)


@click.command("timing")
@click.argument("weather", type=click.Path(path_type=Path))
@click.argument("profile")
@click.option(
    "--use", type=click.Choice(("collecting", "receptive")), default="collecting", show_default=True
)
@click.option(
    "--learn", "catches", type=click.Path(path_type=Path), help="Your own catches: a table of date and count."
)
@click.option("--elevation-m", type=float, help="Elevation asked about, where it is not the station's own.")
@click.option(
    "--temperature", help="Unit in the table: degc (the default), degf, kelvin or 'tenths of degc'."
)
@click.option(
    "--column", "columns", multiple=True, metavar="OURS=YOURS", help="Your column for one of ours: tmin=TMN."
)
@click.option("--date-format", help='How dates are written, for example "%d.%m.%Y".')
@click.option(
    "--fill-gaps-days",
    type=click.IntRange(0, 31),
    default=0,
    show_default=True,
    help="Longest gap in the days that may be filled.",
)
@click.option(
    "--daily-spread-degc",
    metavar="NUMBERS",
    help="For a monthly table: standard deviation of daily means within a month, one number or twelve.",
)
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="The day it is; today when left out.")
def timing_command(
    weather: Path, profile: str, use: Any, catches: Path | None, on: dt.datetime | None, **given: Any
) -> None:
    """Give window dates from a WEATHER table and a PROFILE. No map is needed.

    WEATHER is a daily table (date, tmin, tmax) or a monthly one (month, tmin, tmax), of one or more stations
    (station, longitude_deg, latitude_deg, elevation_m). PROFILE is a file, or a name that geo-scout agents
    lists. Dates are those of the season that runs half a year from now.
    """
    from geo_scout.model.season import LayerTable
    from geo_scout.outputs import tell_learned, tell_windows
    from geo_scout.pipeline import learn_window, time_windows

    as_of = dt.datetime.now().astimezone().date() if on is None else on.date()
    columns = dict(_pair(one) for one in given["columns"])
    units = {} if given["temperature"] is None else {"temperature": given["temperature"]}
    table = LayerTable(
        path=str(weather),
        columns={ours: theirs for ours, theirs in columns.items() if ours != "count"},
        units=units,
        date_format=given["date_format"],
        fill_gaps_days=given["fill_gaps_days"],
    )
    if catches is not None:
        of_catches = {ours: theirs for ours, theirs in columns.items() if ours in _CATCH_COLUMNS}
        own = LayerTable(path=str(catches), columns=of_catches, date_format=given["date_format"])
        lesson = learn_window(table, profile, own, use=use, as_of=as_of)
        click.echo(tell_learned(lesson.agent, lesson.heat, lesson.station, lesson.learned))
        _say(lesson.findings)
        return
    spread = _numbers(given["daily_spread_degc"])
    told = time_windows(
        table, profile, use=use, as_of=as_of, elevation_m=given["elevation_m"], daily_spread_degc=spread
    )
    click.echo(tell_windows(told.agent, told.table, told.stations, told.windows, told.findings))


def _say(findings: Any) -> None:
    for finding in findings:
        click.echo(finding.text(), file=sys.stderr)


def _pair(written: str) -> tuple[str, str]:
    ours, equals, theirs = written.partition("=")
    if not (ours and equals and theirs):
        message = f"{written!r} is not written as OURS=YOURS, for example tmin=TMN"
        raise click.BadParameter(message, param_hint="--column")
    return ours.strip(), theirs.strip()


def _numbers(written: str | None) -> list[float] | None:
    if written is None:
        return None
    try:
        numbers = [float(part) for part in written.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) not in (1, 12) or not all(0 <= number < 50 for number in numbers):
        message = f"{written!r} is not one number from 0 to 50, or twelve with commas between"
        raise click.BadParameter(message, param_hint="--daily-spread-degc")
    return numbers
