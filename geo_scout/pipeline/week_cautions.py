"""What a reader must know of the weather behind the page for Monday morning."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from geo_scout.formulas.same_station import same_station
from geo_scout.model.listed import counted, listed
from geo_scout.model.result import SeasonResult
from geo_scout.model.season import Season
from geo_scout.model.weather import STATION_COLUMNS, DailyWeather
from geo_scout.timing import at_patches, stations_used

_FAR_DAYS = 60
# Ten days are one page missed and a few days on the way. Our choice.
_STALE_DAYS = 10


def week_cautions(
    plan: SeasonResult, day: dt.date, read: DailyWeather, names: Mapping[str, str], whole: DailyWeather
) -> Iterator[str]:
    """Yield what is doubtful about a page: its day, and the stations of its weather.

    Parameters
    ----------
    plan
        The season, as planned.
    day
        The day of the page.
    read
        The weather of the file, its stations under the names of the season.
    names
        Names of the file that became names of the season.
    whole
        The weather of the file, continued backwards by the season's own.
    """
    yield from _far_from_season(plan.season, day)
    yield from (
        f"Station {theirs} of the weather file is taken for {ours}." for theirs, ours in names.items()
    )
    known = plan.layers.weather
    if known is not None:
        yield from _strange(known, read)
    yield from _stale(plan, day, read, whole)


def _far_from_season(season: Season, day: dt.date) -> Iterator[str]:
    start, end = season.settings.season.start, season.settings.season.end
    far = dt.timedelta(days=_FAR_DAYS)
    if (start is not None and day < start - far) or (end is not None and day > end + far):
        yield f"{day} lies far outside the season, {start or 'any day'} to {end or 'any day'}."


def _strange(known: DailyWeather, read: DailyWeather) -> Iterator[str]:
    """Yield stations that the season does not know, and those that stood elsewhere."""
    strange = [str(name) for name in read.stations.index if name not in known.stations.index]
    if strange:
        who, has = listed(strange, 3), listed([str(name) for name in known.stations.index], 5)
        verb = "is" if len(strange) == 1 else "are"
        yield (
            f"{who} {verb} in the weather file and not in the season's weather, which has {has}: it dates "
            "the sites it is nearest to, without any earlier year. If it is one of these, write its name so."
        )
    columns = list(STATION_COLUMNS)
    for name in read.stations.index.intersection(known.stations.index):
        now, then = (one.stations.loc[name, columns].to_numpy(np.float64) for one in (read, known))
        is_known = bool(np.isfinite(now[:2]).all() and np.isfinite(then[:2]).all())
        if is_known and same_station(*(float(one) for one in now), *then[:, None]) is None:
            yield f"{name} stands elsewhere in the weather file than in the season's weather: check it."


def _stale(plan: SeasonResult, day: dt.date, read: DailyWeather, whole: DailyWeather) -> Iterator[str]:
    """Yield stations that dates rest on and whose weather ends long before the page."""
    assert plan.zones is not None
    counts: dict[str, int] = {}
    last: dict[str, dt.date] = {}
    layers, climate = replace(plan.layers, weather=whole), plan.season.settings.climate
    for host in dict.fromkeys(agent.host for agent in plan.season.agents if agent.timing.has_heat):
        for name, until, count in stations_used(at_patches(plan.sites[host], plan.zones, layers, climate)):
            counts[name], last[name] = counts.get(name, 0) + count, until
    for name, until in last.items():
        if (late := (day - until).days) > _STALE_DAYS:
            unread = "" if name in read.stations.index else ", and the weather file has no day of it"
            yield (
                f"The weather of {name} ends on {until}, {late} days before this page{unread}; at "
                f"{counted(counts[name], 'patch', 'patches')} windows go on from there as is usual."
            )
