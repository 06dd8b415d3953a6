"""Ten years of releases."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator
from shapely import Point, Polygon

from making.country import Country
from making.frame import chance
from making.land import is_inside
from making.names import JURISDICTION_SOUTH, SOURCES, TOWNS
from making.weeds import Infestation

AGENTS = (("ashthorn", 36), ("brindlebell", 24))


@dataclass(frozen=True)
class Release:
    """One release.

    Attributes
    ----------
    luck
        Whether it takes is drawn from this, 0 to 1; no record holds it.
    """

    release_id: str
    host: str
    place: Point
    day: date
    count: int
    source_site: str
    purpose: str
    uncertainty_m: int | None
    permit: str
    luck: float


def place_inside(random: Generator, shape: Polygon) -> Point:
    """Return a place well inside an outline, to the metre."""
    west, south, east, north = shape.bounds
    while True:
        place = Point(
            round(west + (east - west) * random.random()), round(south + (north - south) * random.random())
        )
        if shape.contains(place):
            return place


def _permit(random: Generator, is_south: bool, year: int) -> str:
    """Return the permit's number where one was needed."""
    return f"OIO {year}/{1 + int(60 * random.random()):03d}" if is_south else ""


def _homes(random: Generator, country: Country, rows: list[Infestation], host: str) -> list[Infestation]:
    """Return infestations the programme has worked in: the larger ones of about four clusters in ten."""
    clusters = sorted({row.cluster for row in rows if row.host == host})
    chosen = {cluster for cluster in clusters if random.random() < 0.42}
    return [
        row
        for row in rows
        if row.host == host
        and row.cluster in chosen
        and isinstance(row.shape, Polygon)
        and row.shape.area > 6e3
        and row.manager.permission != "no"
        and not is_inside(country.land_classes, "crop", row.shape.centroid)
    ]


def _appeal(row: Infestation) -> float:
    """Return how likely a crew is to bring agents here: large, near a base, not just scattered plants."""
    base_km = min(row.shape.distance(Point(place)) for place in list(TOWNS.values())[:3]) / 1_000
    is_thin = row.cover_scheme in ("", "percent") and float(row.cover or 0) < 15
    return float(row.shape.area**0.5 / (1 + base_km / 6) * (0.15 if is_thin else 1.0))


def _releases_of(country: Country, rows: list[Infestation], host: str, count: int) -> Iterator[Release]:
    """Return the releases of one agent, in no order."""
    random, truth = chance(f"releases {host}"), chance(f"truth {host}")
    homes = _homes(random, country, rows, host)
    south = {district.name for district in country.districts if district.jurisdiction == JURISDICTION_SOUTH}
    # The agent of the second weed was never much used where it later became forbidden.
    shy = 0.35 if host == "brindlebell" else 1.0
    weight = np.array([_appeal(row) * (shy if row.district in south else 1.0) for row in homes])
    for _ in range(count):
        summed = np.cumsum(weight)
        chosen = int(np.searchsorted(summed, random.random() * summed[-1]))
        weight[chosen] *= 0.4
        home = homes[chosen]
        year = 2016 + int(10 * random.random())
        if host == "brindlebell" and home.district in south:
            year = min(year, 2020)
        day = date(year, 5, 28) + timedelta(days=int(45 * random.random()))
        step, least = (50, 100) if host == "ashthorn" else (100, 300)
        luck = random.random()
        assert isinstance(home.shape, Polygon)
        yield Release(
            "",
            host,
            place_inside(random, home.shape),
            day,
            least + step * int(7 * random.random()),
            SOURCES[int(3 * random.random())] if year < 2020 or luck < 0.4 else "own collection",
            "nursery" if luck > 0.9 else "supplement" if luck > 0.78 else "new",
            None if luck < 0.1 else (100, 30, 10, 5)[min((year - 2014) // 3, 3)],
            _permit(random, home.district in south, year),
            truth.random(),
        )


def make_releases(country: Country, rows: list[Infestation]) -> list[Release]:
    """Return all releases by day, numbered within their year."""
    found = [release for host, count in AGENTS for release in _releases_of(country, rows, host, count)]
    found.sort(key=lambda release: (release.day, release.host, release.place.x))
    numbers: dict[int, int] = {}
    named = []
    for release in found:
        number = numbers[release.day.year] = numbers.get(release.day.year, 0) + 1
        named.append(Release(f"R{release.day.year}-{number:02d}", *list(vars(release).values())[1:]))
    return named
