"""Finds that are older than every release on their ground."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.crosschecks.visit_order import release_of
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.layers.kinds.point_records import agents_of, days_of, pairs_of_one_place

EARLY = Why(
    "find-before-release",
    "",
    "Nothing, if the agent came by itself; otherwise add the older release, or correct a date.",
    "note",
    is_bad=False,
)


def check_finds_before_releases(read: LayersRead) -> None:
    """Note finds before the first release of the agent within the uncertainty of both positions.

    A find that comes before the release it belongs to is told with the order of visits.
    """
    visits, releases = read.usable("visits"), read.usable("releases")
    if visits is None or releases is None:
        return
    first, at = _first_releases(visits, releases)
    linked = release_of(visits, releases)
    visited, released = days_of(visits), days_of(releases)
    is_told = (linked >= 0) & (visited < released[linked])
    rows = visits.frame["found"].to_numpy(dtype=bool) & (first > visited) & ~is_told
    ids = releases.texts("release_id")
    sentences = [
        f"the agent was found on {day}, before its first known release there, {ids[row]} of {later}."
        for day, row, later in zip(visited[rows], at[rows].tolist(), first[rows], strict=True)
    ]
    remark_first(visits, rows, EARLY, sentences)


def _first_releases(
    visits: LayerDraft, releases: LayerDraft
) -> tuple[NDArray[np.datetime64], NDArray[np.intp]]:
    """Return the day and the row of the first release on the ground of each visit; NaT and -1 for none."""
    every = np.arange(len(visits.frame))
    visit, release, _ = pairs_of_one_place(visits, every, releases)
    there = agents_of(visits)[visit] == agents_of(releases)[release]
    visit, release = visit[there], release[there]
    day = days_of(releases)
    order = np.lexsort((release, day[release], visit))
    own, starts = np.unique(visit[order], return_index=True)
    at = np.full(len(every), -1, dtype=np.intp)
    at[own] = release[order][starts]
    return np.where(at >= 0, day[at], np.datetime64("NaT", "D")), at
