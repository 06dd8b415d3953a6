"""What the visits after a release happened to see; an agent that is there is not always found."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator
from shapely import Point, Polygon

from making.frame import chance
from making.names import OBSERVERS
from making.releases import Release, place_inside
from making.weeds import Infestation

VISITED = 35
STRAY_FINDS = 5
# Chance that one hour finds an agent that is there. Our own numbers.
METHODS = {
    "ashthorn": (("sweep net", 0.55), ("visual search", 0.40), ("stem dissection", 0.75)),
    "brindlebell": (("sweep net", 0.60), ("visual search", 0.50)),
}
SPREAD_KM_PER_YR = {"ashthorn": 0.4, "brindlebell": 1.0}


@dataclass(frozen=True)
class Visit:
    """One look for an agent; `release_id` is blank where it turned up unasked."""

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


def _look(random: Generator, release: Release, year: int) -> Visit:
    """Return one visit: an agent that is there is found with a chance that grows with the hours spent."""
    methods = METHODS[release.host]
    method, chance_per_hour = methods[int(len(methods) * random.random())]
    hours = (0.5, 1.0, 1.5, 2.0, 3.0)[int(5 * random.random())]
    age = year - release.day.year
    is_found = release.truly_established and age >= 1 and random.random() < 1 - (1 - chance_per_hour) ** hours
    count = 1 + int((3 + 6 * age) * random.random() ** 2 * hours * 2) if is_found else 0
    outcome = ("seen, voucher kept" if random.random() < 0.3 else "seen") if is_found else "none seen"
    place = Point(
        release.place.x + round(30 * random.random() - 15), release.place.y + round(30 * random.random() - 15)
    )
    day = date(year, 6, 1) + timedelta(days=int(70 * random.random()))
    observer = OBSERVERS[int(len(OBSERVERS) * random.random())]
    return Visit(
        release.release_id,
        release.host,
        place,
        day,
        outcome,
        method,
        hours,
        count,
        observer,
        (5, 10, 30)[int(3 * random.random())],
    )


def _stray_finds(rows: list[Infestation], releases: list[Release]) -> Iterator[Visit]:
    """Return finds in infestations that agents have reached by themselves."""
    random = chance("stray finds")
    origins = [release for release in releases if release.truly_established and release.day.year <= 2021]
    for index in random.permutation(len(origins)).tolist()[:STRAY_FINDS]:
        origin = origins[index]
        year = 2024 + int(3 * random.random())
        reach_m = 1_000 * SPREAD_KM_PER_YR[origin.host] * (year - origin.day.year - 1)
        near = [
            row
            for row in rows
            if row.host == origin.host
            and isinstance(row.shape, Polygon)
            and 300 < row.shape.distance(origin.place) < reach_m
        ]
        if near:
            home = near[int(len(near) * random.random())].shape
            assert isinstance(home, Polygon)
            day = date(year, 6, 5) + timedelta(days=int(60 * random.random()))
            yield Visit(
                "",
                origin.host,
                place_inside(random, home),
                day,
                "seen",
                "visual search",
                0.5,
                1 + int(9 * random.random()),
                OBSERVERS[4],
                30,
            )


def make_visits(rows: list[Infestation], releases: list[Release]) -> list[Visit]:
    """Return all visits by day. About 25 releases were never looked at again."""
    random = chance("visits")
    # The longer a release lies back, the likelier somebody has been there since.
    luck = [random.random() + 0.05 * (release.day.year - 2016) for release in releases]
    visits = []
    for index in sorted(np.argsort(np.array(luck), kind="stable").tolist()[:VISITED]):
        release = releases[index]
        random = chance(f"visits {release.release_id}")
        age = 2026 - release.day.year
        times = 1 + int(min(3, age - 1) * random.random() + 0.35) if age > 1 else 1
        years = sorted(1 + release.day.year + int(age * random.random() ** 0.6) for _ in range(times))
        visits += [_look(random, release, year) for year in years]
    visits += _stray_finds(rows, releases)
    return sorted(visits, key=lambda visit: (visit.day, visit.release_id, visit.place.x))
