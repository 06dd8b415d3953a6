"""Commands about the time of year: window dates, the page for Monday morning, and the shipped profiles."""

import datetime as dt
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from geo_scout.errors import InputMistakes

TEMPERATURES = ("degc", "degf", "kelvin", "tenths of degc")
_CATCHES = "catches."
_CATCHES_ONLY = ("count",)


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
    "--use",
    type=click.Choice(("collecting", "receptive")),
    default="collecting",
    show_default=True,
    help="Which window of the profile: when a source can be collected, or a release site can receive.",
)
@click.option(
    "--learn",
    "catches",
    type=click.Path(path_type=Path),
    help="Your own catches: a table of date and count, 0 where none was caught.",
)
@click.option("--elevation-m", type=float, help="Elevation asked about, where it is not the station's own.")
@click.option(
    "--temperature",
    type=click.Choice(TEMPERATURES),
    default="degc",
    show_default=True,
    help="Unit of the temperatures in the table.",
)
@click.option(
    "--column",
    "columns",
    multiple=True,
    metavar="OURS=YOURS",
    help="Your column for one of ours: tmin=TMN, catches.date=Seen; may be repeated.",
)
@click.option("--date-format", help='How dates are written, for example "%d.%m.%Y".')
@click.option("--catches-date-format", help="How dates are written in the table of catches.")
@click.option("--decimal-comma", is_flag=True, help="Numbers are written with a decimal comma.")
@click.option("--encoding", help="How letters are stored in a text table, for example cp1252.")
@click.option("--sheet", help="Sheet of a workbook with several.")
@click.option("--period", default="", help="Monthly table: years it is the mean of, for example 1991-2020.")
@click.option(
    "--fill-gaps-days",
    type=click.IntRange(0, 31),
    default=0,
    show_default=True,
    help="Longest gap in the days that may be filled by a straight line.",
)
@click.option(
    "--daily-spread-degc",
    metavar="NUMBERS",
    help="Monthly table: standard deviation of daily means within a month, one number or twelve.",
)
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="The day it is; today when left out.")
def timing_command(
    weather: Path, profile: str, use: Any, catches: Path | None, on: dt.datetime | None, **given: Any
) -> None:
    """Give window dates from a WEATHER table and a PROFILE. No map is needed.

    WEATHER is a daily table (date, tmin, tmax) or a monthly one (month, tmin, tmax), of one or more stations
    (station, longitude_deg, latitude_deg, elevation_m). PROFILE is a file, or a name that geo-scout agents
    lists. Dates are those of the window that is under way, or of the next one.
    """
    from geo_scout.outputs import tell_learned, tell_windows, told_as_options
    from geo_scout.pipeline import learn_window, time_windows

    as_of = dt.datetime.now().astimezone().date() if on is None else on.date()
    spread = _numbers(given["daily_spread_degc"])
    own, of_catches = _columns(given["columns"])
    units = {"temperature": given["temperature"]}
    table = _table(weather, own, units, given, given["date_format"])
    paths = {"weather": str(weather), "station_normals": str(weather), "catches": str(catches)}
    with _as_options(paths):
        if catches is not None:
            seen = _table(catches, of_catches, {}, given, given["catches_date_format"])
            lesson = learn_window(table, profile, seen, use=use, as_of=as_of)
            click.echo(tell_learned(lesson.agent, lesson.heat, lesson.learned))
            for finding in lesson.findings:
                click.echo(told_as_options(finding, paths).text(), file=sys.stderr)
            return
        told = time_windows(
            table, profile, use=use, as_of=as_of, elevation_m=given["elevation_m"], daily_spread_degc=spread
        )
    findings = [told_as_options(finding, paths) for finding in told.findings]
    click.echo(tell_windows(told.agent, told.table, told.stations, told.windows, told.years, findings))


@click.command("week")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--weather",
    type=click.Path(path_type=Path),
    required=True,
    help="Daily weather up to now, written like the season's own; days before it are taken from that.",
)
@click.option(
    "--before",
    type=click.Path(path_type=Path),
    help="The last weather file, to say what changed; the last run's dates when left out.",
)
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    help="A day of the week; the day after the last one of the weather when left out.",
)
def week_command(season: Path, weather: Path, before: Path | None, on: dt.datetime | None) -> None:
    """Print the page for Monday morning: which windows of SEASON open, are open or close.

    This week and the next, at every ranked source, best first; how many release sites can receive; and by
    how many days the dates moved since the last weather file.
    """
    from geo_scout.outputs import tell_week
    from geo_scout.pipeline import week_page

    click.echo(tell_week(week_page(season, weather, before=before, on=None if on is None else on.date())))


@contextmanager
def _as_options(paths: Mapping[str, str]) -> Iterator[None]:
    """Tell what is wrong in a table in the words of this command."""
    from geo_scout.outputs import told_as_options

    try:
        yield
    except InputMistakes as wrong:
        raise InputMistakes([told_as_options(one, paths) for one in wrong.mistakes]) from None


def _table(
    path: Path,
    columns: Mapping[str, str],
    units: Mapping[str, str],
    given: Mapping[str, Any],
    date_format: str | None,
) -> Any:
    from geo_scout.model.layer_table import LayerTable

    return LayerTable(
        path=str(path),
        columns=dict(columns),
        units=dict(units),
        layer=given["sheet"],
        encoding=given["encoding"],
        decimal_comma=given["decimal_comma"] or None,
        date_format=date_format,
        fill_gaps_days=given["fill_gaps_days"],
        period=given["period"],
    )


def _columns(written: tuple[str, ...]) -> tuple[dict[str, str], dict[str, str]]:
    """Return your columns of the weather, and of the catches."""
    weather, catches = {}, {}
    for one in written:
        ours, equals, theirs = (part.strip() for part in one.partition("="))
        if not (ours and equals and theirs):
            message = f"{one!r} is not written as OURS=YOURS, for example tmin=TMN"
            raise click.BadParameter(message, param_hint="--column")
        if ours.startswith(_CATCHES) or ours in _CATCHES_ONLY:
            catches[ours.removeprefix(_CATCHES)] = theirs
        else:
            weather[ours] = theirs
    return weather, catches


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
