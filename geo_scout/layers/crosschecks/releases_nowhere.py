"""Releases on no ground where the weed of their agent is known."""

import numpy as np
import shapely

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import geometries
from geo_scout.layers.kinds.point_records import agents_of, uncertainty_m
from geo_scout.model.folded import folded


def check_releases_placed(read: LayersRead) -> None:
    """Note how many releases lie in no infestation of their agent's host.

    It is looked for within the uncertainty of the position, 30 m where none is stated. Releases of agents
    that are not of this season are told elsewhere.
    """
    releases, infestations = read.usable("releases"), read.usable("infestations")
    if releases is None or infestations is None:
        return
    weeds = np.array([folded(text) for text in infestations.texts("host")], dtype=object)
    agents, unsure_m, points = agents_of(releases), uncertainty_m(releases), geometries(releases.frame)
    alone = np.zeros(len(releases.frame), dtype=bool)
    for agent in read.season.agents:
        rows = np.flatnonzero(agents == folded(agent.name))
        alone[rows] = True
        grown = geometries(infestations.frame)[weeds == folded(agent.host)]
        near, _ = shapely.STRtree(grown).query(points[rows], predicate="dwithin", distance=unsure_m[rows])
        alone[rows[near]] = False
    if alone.any():
        verb = "lies" if alone.sum() == 1 else "lie"
        what = (
            f"{releases.told(alone, 'release')} {verb} in no infestation of the agent's host, within the "
            "uncertainty of the position."
        )
        fix = (
            "Correct the position, add the infestation, or state how far off the position may be; nothing, "
            "if the weed is gone from there."
        )
        releases.say("release-nowhere", "note", what, fix)
