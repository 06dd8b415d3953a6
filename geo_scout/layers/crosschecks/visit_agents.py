"""Visits that looked for another agent than the one that was released."""

import numpy as np

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.crosschecks.visit_order import release_of
from geo_scout.layers.drafts import Why
from geo_scout.layers.kinds.point_records import agents_of

DIFFERS = Why(
    "visit-agent-differs",
    "",
    "Correct the agent of one of the two, or the release_id.",
    is_bad=False,
)


def check_visit_agents(read: LayersRead) -> None:
    """Caution on visits whose agent is not that of the release they name."""
    visits, releases = read.usable("visits"), read.usable("releases")
    if visits is None or releases is None:
        return
    at = release_of(visits, releases)
    rows = np.asarray((at >= 0) & (agents_of(visits) != agents_of(releases)[at]), dtype=bool)
    names = zip(
        visits.texts("agent")[rows],
        visits.texts("release_id")[rows],
        releases.texts("agent")[at[rows]],
        strict=True,
    )
    sentences = [
        f"it looked for '{agent}', and its release {release} is one of '{other}', of which it says nothing."
        for agent, release, other in names
    ]
    remark_first(visits, rows, DIFFERS, sentences)
