"""Visits that name no release are joined to one by place and date, where the season says how near."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import LayerDraft, Rows, Why
from geo_scout.layers.kinds.point_records import Pairs, agents_of, days_of, pairs_of_one_place, pairs_within
from geo_scout.model.listed import listed
from geo_scout.model.records_table import RecordsTable

UNCLEAR = Why(
    "visit-link-unclear",
    "",
    "Write the release_id, or the release_date, of the one that was visited.",
    is_bad=False,
)
# Our choice: positions are written to a metre or so, and half of it cannot tell two releases apart.
_EQUAL_M = 1.0
_ROUND_M = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1_000.0, 2_000.0, 5_000.0, 10_000.0)
_SHOWN = 4


@dataclass(frozen=True)
class _Near:
    """Pairs of a visit and an earlier release of its agent in reach, the likeliest of a visit first [m]."""

    visit: Pairs
    release: Pairs
    gap_m: NDArray[np.float64]


def join_by_place(visits: LayerDraft, releases: LayerDraft, names_none: Rows) -> None:
    """Join visits to the nearest earlier release of their agent, and say how many; unclear ones stay alone.

    Parameters
    ----------
    visits, releases
        Both in the working reference system. ``release_id`` and ``release_link`` of the visits are filled.
    names_none
        Which visits name no release, (n,).

    Notes
    -----
    A visit with a ``release_date`` looks among the releases at most ``link_days`` from it and takes those
    nearest in date; without ``link_m`` it looks within the uncertainty of both positions. A visit without
    one is looked up within ``link_m`` only. The nearest release counts; two as near as each other within
    1 m, or another one in reach of the same day, leave the visit unjoined.
    """
    records = visits.season.settings.records
    dated = ~np.isnat(visits.frame["release_date"].to_numpy(dtype="datetime64[s]"))
    wanted = names_none if records.link_m is not None else names_none & dated
    if records.link_m is None:
        _say_could_join(visits, releases, names_none & ~dated, records)
    if not wanted.any() or not len(releases.frame):
        return
    near = _near_releases(visits, releases, np.flatnonzero(wanted), records)
    if not len(near.visit):
        return
    starts, ends, is_clear = _likeliest(near, releases)
    joined, chosen = near.visit[starts[is_clear]], near.release[starts[is_clear]]
    ids, links = visits.texts("release_id").copy(), visits.texts("release_link").copy()
    ids[joined], links[joined] = releases.texts("release_id")[chosen], "place"
    visits.frame["release_id"], visits.frame["release_link"] = ids, links
    _say_joined(visits, joined, records)
    _say_unclear(visits, releases, near, starts[~is_clear], ends[~is_clear])


def round_reach_m(farthest_m: float) -> float:
    """Return the least round number that is no less than a distance: 1, 2 or 5 times 10, 100 or 1,000 [m].

    Examples
    --------
    >>> round_reach_m(0.0), round_reach_m(20.0), round_reach_m(51.5), round_reach_m(20_000.0)
    (10.0, 20.0, 100.0, 10000.0)
    """
    return next((one for one in _ROUND_M if one >= farthest_m), _ROUND_M[-1])


def _likeliest(near: _Near, releases: LayerDraft) -> tuple[Pairs, Pairs, Rows]:
    """Return where the pairs of each visit start and end, and whether the first of them is clearly it."""
    first, starts = np.unique(near.visit, return_index=True)
    is_clear = np.ones(len(first), dtype=bool)
    ends = np.append(starts[1:], len(near.visit))
    day = days_of(releases)
    for number, (start, end) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True)):
        rivals = slice(start + 1, end)
        as_near = near.gap_m[rivals] - near.gap_m[start] <= _EQUAL_M
        is_clear[number] = not (as_near | (day[near.release[rivals]] == day[near.release[start]])).any()
    return starts, ends, is_clear


def _say_could_join(visits: LayerDraft, releases: LayerDraft, wanted: Rows, records: RecordsTable) -> None:
    """Note the visits that a distance in the season would join, and the least round one that joins them."""
    if not wanted.any() or not len(releases.frame):
        return
    near = _near_releases(visits, releases, np.flatnonzero(wanted), records)
    if not len(near.visit):
        return
    starts, _, _ = _likeliest(near, releases)
    reach_m = round_reach_m(float(near.gap_m[starts].max()))
    stated = records.model_copy(update={"link_m": reach_m})
    within = _near_releases(visits, releases, near.visit[starts], stated)
    starts, _, is_clear = _likeliest(within, releases)
    rows = np.zeros(len(visits.frame), dtype=bool)
    rows[within.visit[starts[is_clear]]] = True
    if not rows.any():
        return
    one, its = ("names", "its position lies") if rows.sum() == 1 else ("name", "their positions lie")
    what = (
        f"{visits.told(rows, 'visit')} {one} no release, and {its} within both uncertainties of an earlier "
        f"release of the agent; without link_m a visit that names none counts for its place alone."
    )
    fix = f"To join visits to the nearest earlier release, write under [records]: link_m = {reach_m:g}"
    visits.say("visits-could-join", "note", what, fix)


def _near_releases(visits: LayerDraft, releases: LayerDraft, rows: Pairs, records: RecordsTable) -> _Near:
    """Return who comes into question, sorted by visit, days off, distance and row of the release."""
    named, released, visited = days_of(visits, "release_date"), days_of(releases), days_of(visits)
    if records.link_m is None:
        visit, release, gap_m = pairs_of_one_place(visits, rows, releases)
    else:
        visit, release, gap_m = pairs_within(visits, rows, releases, np.full(len(rows), records.link_m))
    off_days = np.abs((released[release] - named[visit]) / np.timedelta64(1, "D"))
    off_days = np.where(np.isnan(off_days), 0.0, off_days)
    fits = agents_of(visits)[visit] == agents_of(releases)[release]
    fits &= (released[release] <= visited[visit]) & (off_days <= records.link_days)
    visit, release, gap_m, off_days = visit[fits], release[fits], gap_m[fits], off_days[fits]
    order = np.lexsort((release, gap_m, off_days, visit))
    visit, release, gap_m, off_days = visit[order], release[order], gap_m[order], off_days[order]
    # Of the releases near a stated day only those nearest to it come into question.
    _, starts, of_visit = np.unique(visit, return_index=True, return_inverse=True)
    kept = off_days == off_days[starts][of_visit]
    return _Near(visit[kept], release[kept], gap_m[kept])


def _say_joined(visits: LayerDraft, joined: Pairs, records: RecordsTable) -> None:
    if not len(joined):
        return
    rows = np.zeros(len(visits.frame), dtype=bool)
    rows[joined] = True
    within = (
        "the uncertainty of the two positions" if records.link_m is None else f"{records.link_m:g} m (link_m)"
    )
    verb = "was" if len(joined) == 1 else "were"
    what = (
        f"{visits.told(rows, 'visit')} without a release_id {verb} joined to "
        f"the nearest earlier release of the agent within {within}; a stated release_date may be "
        f"{records.link_days} days off (link_days)."
    )
    visits.say("visits-joined", "note", what, "Write the release_id where that is not the release visited.")


def _say_unclear(visits: LayerDraft, releases: LayerDraft, near: _Near, starts: Pairs, ends: Pairs) -> None:
    """Name the releases between which nothing decides."""
    rows = np.zeros(len(visits.frame), dtype=bool)
    rows[near.visit[starts]] = True
    ids, days = releases.texts("release_id"), days_of(releases)
    sentences = []
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        named = [
            f"{ids[row]} of {days[row]} ({gap_m:,.0f} m away)"
            for row, gap_m in zip(
                near.release[start:end].tolist(), near.gap_m[start:end].tolist(), strict=True
            )
        ]
        sentences.append(
            f"it names no release, and several come into question: {listed(named, _SHOWN)}; it counts "
            "for its place alone."
        )
    remark_first(visits, rows, UNCLEAR, sentences)
