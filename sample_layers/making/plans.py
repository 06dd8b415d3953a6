"""What else is on file: walked ground, treatments done and planned, and people who asked for agents."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import shapely
from numpy.random import Generator
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from making.frame import chance
from making.grounds import Ground
from making.lines import draw_blob
from making.names import ASKERS, HOSTS
from making.weeds import Infestation

SPRAYED = 3


@dataclass(frozen=True)
class SurveyedArea:
    """Ground that was walked, and whether the weed was there."""

    host: str
    shape: Polygon
    survey_date: str
    result: str


@dataclass(frozen=True)
class Treatment:
    """Ground that was or will be sprayed, mown or grazed."""

    kind: str
    shape: Polygon
    start: str
    end: str
    note: str


@dataclass(frozen=True)
class Request:
    """Somebody who would like agents."""

    owner: str
    place: Point
    day: date
    contact: str
    agent: str
    status: str
    purpose: str


def _around(rows: list[Infestation], margin_m: float) -> Polygon:
    """Return a plain outline around some infestations."""
    return shapely.set_precision(
        shapely.union_all([row.shape for row in rows]).convex_hull.buffer(margin_m, quad_segs=3), 0.1
    )


def _clusters(rows: list[Infestation], host: str) -> list[list[Infestation]]:
    """Return the rows of each cluster of one weed, clusters in order of their number."""
    groups: dict[int, list[Infestation]] = {}
    for row in rows:
        if row.host == host:
            groups.setdefault(row.cluster, []).append(row)
    return [groups[number] for number in sorted(groups)]


def _pick_groups(random: Generator, groups: list[list[Infestation]], count: int) -> list[list[Infestation]]:
    """Return so many groups that one crew can walk in a day (up to 70 ha)."""
    small = [group for group in groups if _around(group, 60).area < 70e4]
    return [small[index] for index in random.permutation(len(small)).tolist()[:count]]


def make_surveyed_areas(rows: list[Infestation]) -> list[SurveyedArea]:
    """Return eight walked areas: three where the weed was gone, five that redraw what is older."""
    random = chance("walked ground")
    areas = []
    for host, gone in (("ashthorn", 2), ("brindlebell", 1)):
        groups = _clusters(rows, host)
        days = [sorted(row.survey_date for row in group) for group in groups]
        stale = [group for group, day in zip(groups, days, strict=True) if day[-1] < "2019"]
        # The second survey redrew everything but the oldest outline.
        redrawn = [
            group for group, day in zip(groups, days, strict=True) if len(day) > 1 and day[0][:4] < day[1][:4]
        ]
        for group in _pick_groups(random, stale, gone):
            day = date(2025, 6, 1) + timedelta(days=int(80 * random.random()))
            areas.append(SurveyedArea(host, _around(group, 60), day.isoformat(), "none found"))
        for group in _pick_groups(random, redrawn, 2):
            second = sorted(row.survey_date for row in group)[1]
            areas.append(SurveyedArea(host, _around(group, 40), second, "surveyed"))
    middle = rows[40].shape.centroid
    areas.append(
        SurveyedArea("", draw_blob(random, (middle.x, middle.y), 160, 1.4, 0.7), "2016-07-08", "surveyed")
    )
    return areas


def _treatment_days(random: Generator, is_planned: bool, kind: str) -> tuple[str, str]:
    """Return first and last day."""
    start = date(2027 if is_planned else 2022 + int(5 * random.random()), 5, 10) + timedelta(
        days=int(75 * random.random())
    )
    length = {"herbicide": 3, "mowing": 2, "grazing": 40}[kind]
    return start.isoformat(), (start + timedelta(days=length)).isoformat()


def _sprayings(grounds: list[Ground], last_release: dict[int, date]) -> list[Treatment]:
    """Return sprayings of past years that took whole pieces of ground on which agents had been released."""
    random = chance("sprayed releases")
    whole = {
        index: shape
        for index in sorted(last_release)
        if isinstance(shape := _around_all(grounds[index]), Polygon) and last_release[index].year <= 2022
    }
    choice = list(whole)
    treatments = []
    for number in random.permutation(len(choice)).tolist()[:SPRAYED]:
        index = choice[number]
        year = last_release[index].year + 2 + int((2024 - last_release[index].year) * random.random())
        start = date(year, 5, 20) + timedelta(days=int(100 * random.random()))
        end = start + timedelta(days=4)
        treatments.append(
            Treatment(
                "herbicide", whole[index], start.isoformat(), end.isoformat(), "contractor, whole stand"
            )
        )
    return treatments


def _around_all(ground: Ground) -> BaseGeometry:
    """Return one outline around a piece of ground with all its parts."""
    return shapely.set_precision(ground.shape.buffer(55, quad_segs=3).simplify(3), 0.1)


def make_treatments(
    rows: list[Infestation], grounds: list[Ground], last_release: dict[int, date]
) -> list[Treatment]:
    """Return treatments of large infestations, seven of them planned, and of ground with releases.

    `last_release` is the day of the last release on each piece of ground that has one.
    """
    random = chance("treatments")
    kinds = ("herbicide", "mowing", "grazing", "herbicide", "herbicide", "grazing", "mowing")
    large = [row for row in rows if isinstance(row.shape, Polygon) and row.shape.area > 3e4]
    picked = [large[index] for index in random.permutation(len(large)).tolist()[:15]]
    treatments = []
    for number, row in enumerate(picked):
        kind = kinds[number % 7]
        first, last = _treatment_days(random, number < 7, kind)
        note = {
            "herbicide": "ground crew, spot spraying",
            "mowing": "verge cut",
            "grazing": "sheep, temporary fence",
        }[kind]
        treatments.append(Treatment(kind, _around([row], 15 if kind == "mowing" else 30), first, last, note))
    treatments += _sprayings(grounds, last_release)
    return sorted(treatments, key=lambda treatment: treatment.start)


def make_requests(rows: list[Infestation], finds: list[tuple[str, Point]]) -> list[Request]:
    """Return sixteen requests; three want more agents where some already live, two want a nursery.

    `finds` are the weed and the place of what was seen on visits.
    """
    random = chance("requests")
    known = [
        (host, place)
        for host, place in finds
        if any(row.shape.area > 2.5e4 and row.shape.contains(place) for row in rows)
    ]
    large = [
        row
        for row in rows
        if isinstance(row.shape, Polygon) and row.shape.area > 1.5e4 and row.manager.permission != "no"
    ]
    requests = []
    for number, owner in enumerate(ASKERS):
        host = "brindlebell" if number % 5 in (1, 3) else "ashthorn"
        own = [row for row in large if row.manager.name == owner and row.host == host]
        choice = own or [row for row in large if row.host == host]
        row = choice[int(len(choice) * random.random())]
        place, purpose = row.shape.representative_point(), "nursery" if number in (5, 11) else "new"
        if number in (2, 7, 12):
            host, place = known[int(len(known) * random.random())]
            purpose = "supplement"
        elif random.random() < 0.3:
            # People mark their gate, not the weeds.
            place = Point(place.x + 400 * (random.random() - 0.5), place.y + 400 * (random.random() - 0.5))
        day = date(2025, 9, 1) + timedelta(days=int(400 * random.random()))
        status = "withdrawn" if random.random() < 0.1 else "open"
        if day < date(2026, 3, 1) and random.random() < 0.6:
            status = "filled"
        if purpose != "new":
            status = "open"
        contact = f"post box {11 + int(80 * random.random())}"
        requests.append(
            Request(
                owner,
                Point(np.round(np.array(place.coords[0]), 1)),
                day,
                contact,
                HOSTS[host],
                status,
                purpose,
            )
        )
    return sorted(requests, key=lambda request: request.day)
