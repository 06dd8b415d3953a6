"""What goes wrong with a weed map over the years: seven small faults, each of a kind every office has."""

from dataclasses import replace

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from making.weeds import Infestation


def _bow_tie(shape: BaseGeometry) -> Polygon:
    """Return the outline with its last two corners swapped, so that it crosses itself."""
    places = list(shapely.get_coordinates(shape)[:-1])
    cut = len(places) // 2
    places[cut], places[cut + 2] = places[cut + 2], places[cut]
    return Polygon(places)


def _pick(
    rows: list[Infestation], taken: set[int], least_ha: float, most_ha: float, years: tuple[str, str]
) -> int:
    """Return the first polygon of this size and age that has no fault yet."""
    for index, row in enumerate(rows):
        fits = least_ha <= row.shape.area / 1e4 <= most_ha and years[0] <= row.survey_date[:4] <= years[1]
        if fits and index not in taken and row.cover:
            taken.add(index)
            return index
    message = f"no infestation of {least_ha} to {most_ha} ha surveyed in {years[0]} to {years[1]} is left"
    raise ValueError(message)


def add_mess(rows: list[Infestation]) -> list[Infestation]:
    """Return the weed map as the office keeps it.

    One stale outline under a newer one, one outline that crosses itself, one date in the future, one missing
    date, one point without an area, two weed names written another way, and two rows copied in twice.
    """
    rows = list(rows)
    taken: set[int] = set()
    newest = _pick(rows, taken, 3, 9, ("2025", "2026"))
    smaller = shapely.set_precision(rows[newest].shape.buffer(-25).simplify(3), 0.1)
    stale = replace(
        rows[newest],
        shape=smaller,
        survey_date="2011-07-19",
        cover="90",
        cover_scheme="",
        number=len(rows) + 1,
    )
    crossed = _pick(rows, taken, 1, 4, ("2022", "2024"))
    rows[crossed] = replace(rows[crossed], shape=_bow_tie(rows[crossed].shape))
    future = _pick(rows, taken, 0.5, 3, ("2026", "2026"))
    rows[future] = replace(rows[future], survey_date="2027-06-03")
    undated = _pick(rows, taken, 0.5, 3, ("2018", "2020"))
    rows[undated] = replace(rows[undated], survey_date="")
    for spelling in ("Ashthorn", "brindlebell "):
        odd = next(
            index
            for index, row in enumerate(rows)
            if row.host == spelling.strip().lower() and index not in taken
        )
        taken.add(odd)
        rows[odd] = replace(rows[odd], host=spelling)
    bare = next(
        index for index, row in enumerate(rows) if isinstance(row.shape, Point) and index not in taken
    )
    rows[bare] = replace(rows[bare], area_ha=None)
    copies = [rows[_pick(rows, taken, 0.3, 2, (year, year))] for year in ("2016", "2024")]
    return [*rows, stale, *copies]
