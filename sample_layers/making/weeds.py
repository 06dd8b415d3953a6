"""Infestations where such weeds would grow: road verges, river banks, dry slopes, wet meadows."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from making.country import Country
from making.cover import choose_cover
from making.frame import Floats, chance
from making.lines import direction_along, draw_blob
from making.names import SITE_FIRST, SITE_SECOND, Manager

# Shares of the clusters: along roads, along water, on open ground. Polygons per host.
HABITATS = {"ashthorn": (0.40, 0.12, 0.48), "brindlebell": (0.22, 0.56, 0.22)}
POLYGONS = {"ashthorn": 150, "brindlebell": 125}
POINTS = 26


@dataclass(frozen=True)
class Infestation:
    """One row of the weed map.

    Attributes
    ----------
    cluster
        Which group of neighbouring infestations it belongs to.
    area_ha
        Stated area of a point [ha]; None for polygons.
    """

    host: str
    shape: BaseGeometry
    cluster: int
    cover: str
    cover_scheme: str
    area_ha: float | None
    survey_date: str
    manager: Manager
    parcel: str
    district: str
    name: str
    number: int = 0


@dataclass(frozen=True)
class Anchor:
    """Where a cluster starts, and the line it follows if it follows one."""

    place: Point
    line: LineString | None
    direction: float


def _anchor_on_line(random: Generator, lines: list[LineString], aside_m: float) -> Anchor:
    """Return a place beside one of the lines, longer lines more often."""
    length = np.array([line.length for line in lines])
    line = lines[int(np.searchsorted(np.cumsum(length), random.random() * length.sum()))]
    along_m = random.random() * line.length
    direction = direction_along(line, along_m)
    place = line.interpolate(along_m)
    off_m = aside_m * (0.3 + random.random()) * (1 if random.random() < 0.5 else -1)
    return Anchor(
        Point(place.x - off_m * np.sin(direction), place.y + off_m * np.cos(direction)), line, direction
    )


def _anchor(random: Generator, country: Country, host: str) -> Anchor:
    """Return a place where a cluster of this weed may start."""
    luck = random.random()
    by_road, by_water, _ = HABITATS[host]
    if luck < by_road:
        return _anchor_on_line(random, [line for _, line in country.roads], 30)
    if luck < by_road + by_water:
        return _anchor_on_line(random, [*country.brooks, country.river], 70)
    west, south, east, north = country.whole.bounds
    place = Point(west + (east - west) * random.random(), south + (north - south) * random.random())
    return Anchor(place, None, 6.28 * random.random())


def _is_liked(country: Country, host: str, place: Point, is_open: bool) -> bool:
    """Return whether the ground suits the weed: height, steepness, and on open ground the sunny side."""
    east, north = np.array([place.x]), np.array([place.y])
    height = country.ground.coarse.read_at(east, north)[0]
    slope = country.slope_pct.read_at(east, north)[0]
    if not country.whole.contains(place) or slope > 45:
        return False
    if host == "ashthorn":
        return bool(
            height < 1_420 and (not is_open or (slope > 5 and country.south.read_at(east, north)[0] > 0.2))
        )
    return bool(height < 1_560 and (not is_open or slope < 7))


def _members(random: Generator, anchor: Anchor) -> Iterator[tuple[Polygon, date]]:
    """Return outlines and survey dates of one cluster."""
    count = 1 + int(np.floor(-np.log(1 - random.random()) * 2.6))
    year = 2026 - int(np.floor(17.99 * random.random() ** 2.1))
    scale_ha = 2.2 * np.exp(0.85 * _bell(random))
    place, direction = anchor.place, anchor.direction
    for _ in range(min(count, 9)):
        area_ha = float(np.clip(np.round(scale_ha * np.exp(0.85 * _bell(random)), 3), 0.05, 40))
        stretch = (2.2 + 3 * random.random()) if anchor.line is not None else 1 + 1.2 * random.random()
        surveyed = date(
            year if random.random() < 0.8 else min(year + 1 + int(4 * random.random()), 2026), 5, 12
        )
        surveyed += timedelta(days=int(120 * random.random()))
        yield draw_blob(random, (place.x, place.y), area_ha, stretch, direction), surveyed
        step_m = (area_ha * 1e4 * stretch / 3.14159) ** 0.5 * 1.9 + 30 + 140 * random.random()
        if anchor.line is not None:
            along_m = anchor.line.project(place) + step_m
            if along_m > anchor.line.length - 50:
                return
            direction = direction_along(anchor.line, along_m)
            middle, off_m = anchor.line.interpolate(along_m), 25 + 45 * random.random()
            place = Point(middle.x - off_m * np.sin(direction), middle.y + off_m * np.cos(direction))
        else:
            turn = 6.28 * random.random()
            place = Point(place.x + step_m * np.cos(turn), place.y + step_m * np.sin(turn))


def _bell(random: Generator) -> float:
    """Return a number that is roughly normal, from sums only (the same on every machine)."""
    return float(random.random(12).sum() - 6.0)


def _site_name(random: Generator, used: set[str]) -> str:
    """Return a name no other site has."""
    while True:
        first, second = (
            SITE_FIRST[int(random.random() * len(SITE_FIRST))],
            SITE_SECOND[int(random.random() * len(SITE_SECOND))],
        )
        name = f"{first} {second}"
        if name not in used:
            used.add(name)
            return name


def _describe(
    random: Generator,
    country: Country,
    host: str,
    shape: BaseGeometry,
    cluster: int,
    surveyed: date,
    name: str,
) -> Infestation:
    """Return the full row of one outline."""
    middle = shape.representative_point()
    manager, parcel = country.owners.read_at(middle)
    district = next((one.name for one in country.districts if one.shape.contains(middle)), "")
    cover, scheme = choose_cover(random, manager, surveyed)
    return Infestation(
        host, shape, cluster, cover, scheme, None, surveyed.isoformat(), manager, parcel, district, name
    )


def _grow(country: Country, host: str, used: set[str]) -> list[Infestation]:
    """Return all polygons of one weed; they do not overlap each other."""
    random = chance(f"weeds {host}")
    rows: list[Infestation] = []
    cluster = 0
    while len(rows) < POLYGONS[host]:
        anchor = _anchor(random, country, host)
        if not _is_liked(country, host, anchor.place, anchor.line is None):
            continue
        cluster += 1
        name = _site_name(random, used) if random.random() < 0.7 else ""
        for shape, surveyed in _members(random, anchor):
            is_free = all(row.shape.distance(shape) > 8 for row in rows)
            if is_free and shape.is_valid and isinstance(shape, Polygon) and country.whole.contains(shape):
                rows.append(_describe(random, country, host, shape, cluster, surveyed, name))
    return rows[: POLYGONS[host]]


def _shrink_to_points(rows: list[Infestation]) -> list[Infestation]:
    """Return the same rows, with some small ones recorded as a point and an estimated area."""
    random = chance("points")
    small = [index for index, row in enumerate(rows) if 0.08 < row.shape.area / 1e4 < 2.5]
    for index in random.permutation(small)[:POINTS].tolist():
        row = rows[index]
        area_ha = round(
            max(row.shape.area / 1e4 * (0.7 + 0.6 * random.random()), 0.05), 1 if row.shape.area > 5e3 else 2
        )
        middle: Floats = np.round(np.array(row.shape.representative_point().coords[0]), 1)
        rows[index] = replace(row, shape=Point(middle), area_ha=area_ha)
    return rows


def make_infestations(country: Country) -> list[Infestation]:
    """Return the weed map before anything went wrong with it, numbered in the order of survey."""
    used: set[str] = set()
    rows = [row for host in POLYGONS for row in _grow(country, host, used)]
    rows = sorted(_shrink_to_points(rows), key=lambda row: (row.survey_date, row.host, row.cluster))
    return [replace(row, number=number + 1) for number, row in enumerate(rows)]
