"""What truly became of the agents on each piece of ground: taking, spreading, dying out, being sprayed."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
import shapely

from making.frame import AS_OF, chance
from making.grounds import Ground
from making.plans import Treatment
from making.releases import Release

# The same numbers stand in the agents' profiles. Our own numbers.
ESTABLISHED_SHARE = {"ashthorn": 0.65, "brindlebell": 0.55}
STAYING_SHARE = 0.97
HIDDEN_DAYS = 365
SPREAD_KM_PER_YR = {"ashthorn": 0.2, "brindlebell": 0.4}
MAX_SPREAD_KM = {"ashthorn": 10.0, "brindlebell": 15.0}
LAG_YEARS = 1.0
KILLED_FROM_SHARE = 0.9


Kind = Literal["release", "arrival", "hard year", "spraying"]


@dataclass(frozen=True)
class Spell:
    """A time in which agents lived on a piece of ground, and from when on they could be seen."""

    first: date
    visible_from: date
    last: date | None


@dataclass(frozen=True)
class Fate:
    """The truth about one piece of ground that no record holds."""

    spells: tuple[Spell, ...]

    def is_visible_on(self, day: date) -> bool:
        """Return whether there was anything to be seen on this day."""
        return any(spell.visible_from <= day and (spell.last or AS_OF) >= day for spell in self.spells)

    @property
    def is_alive(self) -> bool:
        """Whether agents live there today."""
        return bool(self.spells) and self.spells[-1].last is None

    @property
    def year_lost(self) -> int | None:
        """Year in which agents that lived there last died out; None where none ever did."""
        years = [spell.last.year for spell in self.spells if spell.last is not None]
        return max(years, default=None)


@dataclass(frozen=True)
class Event:
    """Something that starts or may end a population: a release, an arrival, a hard year or a spraying."""

    day: date
    kind: Kind
    visible_from: date = date.max


def takes(group: list[Release]) -> bool:
    """Return whether the releases of one piece of ground took: what spoils one of them spoils the next."""
    first = min(group, key=lambda release: (release.day, release.place.x))
    return first.luck < ESTABLISHED_SHARE[first.host]


def _arrivals(
    host: str, grounds: list[Ground], origins: dict[int, date], first_year: int
) -> Iterator[tuple[int, Event]]:
    """Yield the day on which each origin that took reaches each other ground, where it does before today.

    The chance to have come d km within t years is exp(-d / (km per year x (t - lag))).
    """
    shapes = np.array([ground.shape for ground in grounds], dtype=object)
    starts = np.array(sorted(origins), dtype=np.intp)
    if not len(starts):
        return
    far_m = 1_000 * MAX_SPREAD_KM[host]
    one, other = shapely.STRtree(shapes).query(shapes[starts], predicate="dwithin", distance=far_m)
    order = np.lexsort((other, one))
    origin, target = starts[one[order]], other[order]
    luck = chance(f"spread {host}").random(len(origin))
    gap_km = shapely.distance(shapes[origin], shapes[target]) / 1_000
    for index in np.flatnonzero(origin != target).tolist():
        start = origins[int(origin[index])]
        for year in range(max(start.year, first_year), AS_OF.year + 1):
            years = (min(date(year, 12, 31), AS_OF) - start).days / 365.25 - LAG_YEARS
            if years > 0 and luck[index] < np.exp(-gap_km[index] / (SPREAD_KM_PER_YR[host] * years)):
                day = max(date(year, 1, 1), start)
                yield int(target[index]), Event(day, "arrival", visible_from=day)
                break


def _sprayings(grounds: list[Ground], treatments: list[Treatment]) -> Iterator[tuple[int, Event]]:
    """Yield the days on which herbicide took nearly all of a piece of ground."""
    for treatment in treatments:
        last = date.fromisoformat(treatment.end)
        if treatment.kind != "herbicide" or last > AS_OF:
            continue
        for index, ground in enumerate(grounds):
            size = ground.shape.area
            if size and ground.shape.intersection(treatment.shape).area >= KILLED_FROM_SHARE * size:
                yield index, Event(last, "spraying")


def _spells(events: list[Event], stays: list[tuple[date, bool]]) -> tuple[Spell, ...]:
    """Return when agents lived on one piece of ground; a hard year comes before all else of the year.

    Ground that agents have reached by themselves is out of danger: more come from where those came from. What
    ends that is a spraying, which leaves them nothing to come to.
    """
    hard = [Event(day, "hard year") for day, is_kept in stays if not is_kept]
    spells: list[Spell] = []
    is_reached = False
    for event in sorted([*hard, *events], key=lambda event: event.day):
        alive = bool(spells) and spells[-1].last is None
        if event.kind in ("release", "arrival"):
            is_reached = is_reached or event.kind == "arrival"
            if not alive:
                spells.append(Spell(event.day, event.visible_from, None))
        elif event.kind == "spraying" or not is_reached:
            is_reached = False
            if alive:
                spells[-1] = Spell(spells[-1].first, spells[-1].visible_from, event.day)
    return tuple(spells)


def draw_fates(
    grounds: list[Ground], at: list[int], releases: list[Release], treatments: list[Treatment]
) -> list[Fate]:
    """Return the fate of each piece of ground; `at` is the ground of each release."""
    first_year = min(release.day.year for release in releases)
    groups: dict[int, list[Release]] = {}
    for index, release in zip(at, releases, strict=True):
        groups.setdefault(index, []).append(release)
    took = {index: group for index, group in groups.items() if takes(group)}
    events: dict[int, list[Event]] = {}
    for index, group in took.items():
        events[index] = [
            Event(one.day, "release", visible_from=one.day + timedelta(days=HIDDEN_DAYS)) for one in group
        ]
    hosts = sorted({release.host for release in releases})
    for host in hosts:
        ours = [index for index, ground in enumerate(grounds) if ground.host == host]
        place_of = {index: place for place, index in enumerate(ours)}
        origins = {
            place_of[index]: min(one.day for one in group)
            for index, group in took.items()
            if group[0].host == host
        }
        for place, event in _arrivals(host, [grounds[index] for index in ours], origins, first_year):
            events.setdefault(ours[place], []).append(event)
    for index, event in _sprayings(grounds, treatments):
        events.setdefault(index, []).append(event)
    years = range(first_year + 1, AS_OF.year + 1)
    stays = chance("staying").random((len(grounds), len(years))) < STAYING_SHARE
    days = [date(year, 1, 1) for year in years]
    return [
        Fate(_spells(events.get(index, []), list(zip(days, stays[index].tolist(), strict=True))))
        for index in range(len(grounds))
    ]
