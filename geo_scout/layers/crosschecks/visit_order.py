"""Days that cannot follow each other: visits before their release, releases of another day than stated."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.layers.kinds.point_records import days_of

BEFORE = Why("visit-before-release", "", "Correct one of the two dates, or the release_id.", is_bad=False)
LATER = Why("release-date-later", "", "Correct one of the two dates.", is_bad=False)
OTHER = Why("release-date-differs", "", "Correct the release_date, or the release_id.", is_bad=False)


def check_visit_order(read: LayersRead) -> None:
    """Caution on visits that come before their release, or name it by a date that is not its own."""
    visits = read.usable("visits")
    if visits is None:
        return
    _say_later(visits)
    releases = read.usable("releases")
    if releases is not None:
        _say_before(visits, releases)
        _say_other_day(visits, releases)


def release_of(visits: LayerDraft, releases: LayerDraft) -> NDArray[np.intp]:
    """Return the row of the release each visit belongs to; -1 where it belongs to none."""
    row_of = {str(name): row for row, name in enumerate(releases.texts("release_id"))}
    return np.array([row_of.get(str(name), -1) for name in visits.texts("release_id")], dtype=np.intp)


def _say_before(visits: LayerDraft, releases: LayerDraft) -> None:
    at = release_of(visits, releases)
    visited, released = days_of(visits), days_of(releases)[at]
    rows = (at >= 0) & (visited < released)
    names = visits.texts("release_id")[rows]
    sentences = [
        f"the visit of {day} comes before its release {name} of {first}."
        for day, name, first in zip(visited[rows], names, released[rows], strict=True)
    ]
    remark_first(visits, rows, BEFORE, sentences)


def _say_later(visits: LayerDraft) -> None:
    visited, stated = days_of(visits), days_of(visits, "release_date")
    rows = stated > visited
    sentences = [
        f"release_date {first} comes after the visit itself, on {day}."
        for day, first in zip(visited[rows], stated[rows], strict=True)
    ]
    remark_first(visits, rows, LATER, sentences)


def _say_other_day(visits: LayerDraft, releases: LayerDraft) -> None:
    """Caution where a visit names its release by id and by a date that is another one's."""
    at = release_of(visits, releases)
    stated, released = days_of(visits, "release_date"), days_of(releases)[at]
    most_days = visits.season.settings.records.link_days
    off_days = np.abs((stated - released) / np.timedelta64(1, "D"))
    rows = (at >= 0) & (off_days > most_days)
    names = visits.texts("release_id")[rows]
    sentences = [
        f"release_date {day} is {off:.0f} days from that of its release {name}, {first}; more than "
        f"{most_days} days (records.link_days) are not the same release."
        for day, name, first, off in zip(stated[rows], names, released[rows], off_days[rows], strict=True)
    ]
    remark_first(visits, rows, OTHER, sentences)
