"""Visits dated before the release they name."""

import pandas as pd

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import Why

BEFORE = Why("visit-before-release", "", "Correct one of the two dates, or the release_id.", is_bad=False)


def check_visit_order(read: LayersRead) -> None:
    """Caution on visits that come before their release."""
    visits, releases = read.usable("visits"), read.usable("releases")
    if visits is None or releases is None:
        return
    dates = pd.Series(releases.frame["date"].to_numpy(), index=releases.texts("release_id"))
    released = dates.reindex(visits.texts("release_id")).to_numpy()
    visited = visits.frame["date"].to_numpy()
    rows = visited < released
    names = visits.texts("release_id")[rows]
    sentences = [
        f"the visit of {day} comes before its release {name} of {first}."
        for day, name, first in zip(
            visited[rows].astype("datetime64[D]"), names, released[rows].astype("datetime64[D]"), strict=True
        )
    ]
    remark_first(visits, rows, BEFORE, sentences)
