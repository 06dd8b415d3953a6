"""What the visits after a release happened to see; an agent that is there is not always found."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator
from shapely import Point, Polygon

from making.fates import Fate
from making.frame import AS_OF, chance
from making.grounds import Ground
from making.looks import LOOKS, Look
from making.names import OBSERVERS
from making.releases import Release, place_inside

VISITED = 35
STRAY_FINDS = 5


@dataclass(frozen=True)
class Visit:
    """One look for an agent; `release_id` is blank where it turned up unasked.

    Attributes
    ----------
    sign, stage
        What was seen or looked for; blank where nobody wrote it down.
    voucher
        Reference of the specimens kept.
    weed_cover_pct
        Cover of the weed where the crew stood [percent].
    counted_m2
        Ground the count was made on, where it was measured [m2].
    """

    release_id: str
    host: str
    place: Point
    day: date
    outcome: str
    method: str
    hours: float
    count: int
    observer: str
    uncertainty_m: int
    sign: str
    stage: str
    voucher: str
    weed_cover_pct: int | None
    counted_m2: int | None


def _count(random: Generator, look: Look, age: int, hours: float, is_found: bool) -> int:
    """Return a catch: little at first, more with the years, and very uneven."""
    caught = 1 + int((3 + 6 * age) * random.random() ** 2 * hours * look.catch_per_hour)
    return caught if is_found else 0


def _look(random: Generator, release: Release, year: int, fate: Fate) -> Visit:
    """Return one visit: an agent that is there is found with a chance that grows with the hours spent."""
    looks = LOOKS[release.host]
    look = looks[int(len(looks) * random.random())]
    hours = (0.5, 1.0, 1.5, 2.0, 3.0)[int(5 * random.random())]
    day = date(year, *look.starts) + timedelta(days=int(look.span_days * random.random()))
    luck, error = random.random(), random.random()
    is_seen = look.shows_on(day) and fate.is_visible_on(day) and luck < look.chance_in(hours)
    is_error = not is_seen and look.shows_on(day) and not fate.is_visible_on(day) and error < look.wrong_share
    is_found = is_seen or is_error
    count = _count(random, look, year - release.day.year, hours, is_found)
    is_kept = random.random() < 0.3 and is_seen
    place = Point(
        release.place.x + round(30 * random.random() - 15), release.place.y + round(30 * random.random() - 15)
    )
    observer = OBSERVERS[int(len(OBSERVERS) * random.random())]
    uncertainty_m = (5, 10, 30)[int(3 * random.random())]
    is_noted, is_covered, is_measured = (random.random() < share for share in (0.6, 0.6, 0.5))
    return Visit(
        release.release_id,
        release.host,
        place,
        day,
        "seen, voucher kept" if is_kept else "seen" if is_found else "none seen",
        look.method,
        hours,
        count,
        observer,
        uncertainty_m,
        look.sign if is_found or is_noted else "",
        look.stage if is_found else "",
        f"QV {year}-{1 + int(400 * random.random()):03d}" if is_kept else "",
        5 * int(1 + 15 * random.random()) if is_covered else None,
        10 * int(2 + 10 * random.random())
        if is_found and is_measured and look.stage == "adult" and look.method == "visual search"
        else None,
    )


def _stray_finds(grounds: list[Ground], fates: list[Fate], at: list[int]) -> Iterator[Visit]:
    """Return finds on ground that agents have reached by themselves."""
    random = chance("stray finds")
    reached = [
        index
        for index, fate in enumerate(fates)
        if index not in set(at) and fate.is_alive and isinstance(grounds[index].shape, Polygon)
    ]
    for index in random.permutation(len(reached)).tolist()[:STRAY_FINDS]:
        ground, fate = grounds[reached[index]], fates[reached[index]]
        look = next(look for look in LOOKS[ground.host] if look.method == "visual search")
        year = max(2024 + int(3 * random.random()), fate.spells[-1].first.year)
        day = date(year, *look.starts) + timedelta(days=5 + int(60 * random.random()))
        assert isinstance(ground.shape, Polygon)
        yield Visit(
            "",
            ground.host,
            place_inside(random, ground.shape),
            day,
            "seen",
            look.method,
            0.5,
            1 + int(9 * random.random()),
            OBSERVERS[4],
            30,
            look.sign,
            look.stage,
            "",
            None,
            None,
        )


def make_visits(
    releases: list[Release],
    grounds: list[Ground],
    at: list[int],
    fates: list[Fate],
    visited: int = VISITED,
) -> list[Visit]:
    """Return all visits by day. About 25 releases were never looked at again."""
    random = chance("visits")
    # The longer a release lies back, the likelier somebody has been there since.
    luck = [random.random() + 0.05 * (release.day.year - 2016) for release in releases]
    visits = []
    for index in sorted(np.argsort(np.array(luck), kind="stable").tolist()[:visited]):
        release = releases[index]
        random = chance(f"visits {release.release_id}")
        age = AS_OF.year - release.day.year
        times = 1 + int(min(3, age - 1) * random.random() + 0.35) if age > 1 else 1
        years = sorted(1 + release.day.year + int(age * random.random() ** 0.6) for _ in range(times))
        visits += [_look(random, release, year, fates[at[index]]) for year in years]
    visits += _stray_finds(grounds, fates, at)
    return sorted(visits, key=lambda visit: (visit.day, visit.release_id, visit.place.x))
