"""Visits on no ground that anything else is known of."""

import numpy as np
import shapely

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import Why, geometries
from geo_scout.layers.kinds.point_records import agents_of, pairs_of_one_place, uncertainty_m
from geo_scout.model.folded import folded

NOWHERE = Why(
    "visit-nowhere",
    "",
    "Correct the position, name the release visited, or state how far off the position may be.",
    is_bad=False,
)


def check_visits_placed(read: LayersRead) -> None:
    """Caution on visits that match neither a release of their agent nor any infestation.

    Both are looked for within the uncertainty of the positions, 30 m where none is stated. Visits of agents
    that are not of this season are told elsewhere.
    """
    visits, infestations, releases = (read.usable(name) for name in ("visits", "infestations", "releases"))
    if visits is None or infestations is None:
        return
    ours = {folded(agent.name) for agent in read.season.agents}
    looked_for, unsure_m = agents_of(visits), uncertainty_m(visits)
    alone = (visits.texts("release_id") == "") & np.array([name in ours for name in looked_for], dtype=bool)
    rows = np.flatnonzero(alone)
    (near, _), gap_m = shapely.STRtree(geometries(infestations.frame)).query_nearest(
        geometries(visits.frame)[rows], return_distance=True, all_matches=False
    )
    alone[rows[near[gap_m <= unsure_m[rows[near]]]]] = False
    if releases is not None and alone.any():
        visit, release, _ = pairs_of_one_place(visits, np.flatnonzero(alone), releases)
        alone[visit[looked_for[visit] == agents_of(releases)[release]]] = False
    what = [
        f"no infestation and no release of its agent lies within the uncertainty of its position "
        f"({metres:,.0f} m); it stands for a place of its own."
        for metres in unsure_m[alone]
    ]
    remark_first(visits, alone, NOWHERE, what)
