"""Visits that name no release and were made where an earlier one of their agent is, as a guess."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from geo_scout.layers.cells.dates import as_dates
from geo_scout.layers.cells.text_values import as_numbers, as_texts
from geo_scout.layers.inspect.names_listed import places_of
from geo_scout.layers.kinds.visits_joined import round_reach_m
from geo_scout.model.draft import LayerGuess
from geo_scout.model.folded import folded
from geo_scout.model.season import GEORECORD_FLOOR_M

# Metres of a degree of latitude on a sphere of the Earth's mean radius, 6,371 km.
_M_PER_DEG = 111_195.0
_FARTHEST_M = 1_000.0
_NOBODY = (0, 0.0)


def count_joinable(layers: Mapping[str, LayerGuess]) -> tuple[int, float]:
    """Return how many visits a distance would join to a release, and the least round one that does [m].

    Parameters
    ----------
    layers
        The layers recognised, visits and releases perhaps among them.

    Returns
    -------
    number, link_m
        0 and 0 where there are none, or positions, agents or days are not known.

    Notes
    -----
    Distances are those of a plane, which is enough for some hundred metres; uncertainties count up to 1 km.
    What a run joins is decided there.
    """
    visits, releases = layers.get("visits"), layers.get("releases")
    if visits is None or releases is None or any(one.key == "repeated" for one in visits.settings):
        return _NOBODY
    visited, released = places_of(visits), places_of(releases)
    when, before = _days(visits), _days(releases)
    who, whose = _folded(visits, "agent"), _folded(releases, "agent")
    if len({len(visited), len(when), len(who)}) > 1 or len({len(released), len(before), len(whose)}) > 1:
        return _NOBODY
    named, stated = _folded(visits, "release_id"), _folded(visits, "release_date")
    alone = np.isfinite(visited).all(axis=1) & ~np.isnat(when)
    for texts in (named, stated):
        alone &= texts == "" if len(texts) else True
    rows = np.flatnonzero(alone)
    there = np.flatnonzero(np.isfinite(released).all(axis=1) & ~np.isnat(before))
    if not len(rows) or not len(there):
        return _NOBODY
    scale = np.array([np.cos(np.radians(np.median(released[there, 1]))), 1.0]) * _M_PER_DEG
    unsure_m, other_m = _unsure_m(visits, len(visited)), _unsure_m(releases, len(released))
    reach_m = unsure_m[rows] + other_m[there].max()
    near = cKDTree(released[there] * scale).query_ball_point(visited[rows] * scale, reach_m)
    nearest_m = [
        gap_m
        for row, others in zip(rows.tolist(), near, strict=True)
        if (gap_m := _nearest_m(row, there[others], visited, released, scale, unsure_m[row] + other_m,
                                (who[row] == whose) & (before <= when[row]))) is not None
    ]  # fmt: skip
    return (len(nearest_m), round_reach_m(max(nearest_m))) if nearest_m else _NOBODY


def _nearest_m(
    row: int,
    others: NDArray[np.intp],
    visited: NDArray[np.float64],
    released: NDArray[np.float64],
    scale: NDArray[np.float64],
    most_m: NDArray[np.float64],
    fits: NDArray[np.bool_],
) -> float | None:
    """Return how far the nearest release that fits is, within the uncertainty of both; None for none [m]."""
    gap_m = np.hypot(*((released[others] - visited[row]) * scale).T)
    within = gap_m[(gap_m <= most_m[others]) & fits[others]]
    return float(within.min()) if within.size else None


def _days(layer: LayerGuess) -> NDArray[np.datetime64]:
    column = layer.matched("date")
    if column is None or len(column.date_formats) != 1:
        return np.empty(0, dtype="datetime64[s]")
    days, _ = as_dates(np.array(column.values, dtype=object), column.date_formats[0] or None)
    return days


def _folded(layer: LayerGuess, ours: str) -> NDArray[np.object_]:
    column = layer.matched(ours)
    return np.array([folded(text) for text in column.values] if column else [], dtype=object)


def _unsure_m(layer: LayerGuess, number: int) -> NDArray[np.float64]:
    column = layer.matched("coordinate_uncertainty_m")
    if column is None:
        return np.full(number, GEORECORD_FLOOR_M)
    stated_m, _ = as_numbers(as_texts(np.array(column.values, dtype=object)))
    return np.clip(np.where(stated_m > 0.0, stated_m, GEORECORD_FLOOR_M), None, _FARTHEST_M)
