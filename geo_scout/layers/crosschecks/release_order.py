"""Releases dated before the first survey of the ground they lie on."""

import numpy as np
import shapely

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import LayerDraft, Rows, geometries
from geo_scout.model.folded import folded


def check_release_order(read: LayersRead) -> None:
    """Note releases older than every survey of their agent's host on the same ground."""
    releases, infestations = read.usable("releases"), read.usable("infestations")
    if releases is None or infestations is None:
        return
    early = _is_early(releases, infestations)
    if not early.any():
        return
    verb = "is" if early.sum() == 1 else "are"
    what = (
        f"{releases.told(early, 'release')} {verb} dated before the first survey of the host on that ground, "
        "as the infestations layer has it."
    )
    fix = "Nothing, if older surveys of that ground were left out; otherwise correct one of the two dates."
    releases.say("release-before-survey", "note", what, fix)


def _is_early(releases: LayerDraft, infestations: LayerDraft) -> Rows:
    hosts = {folded(agent.name): folded(agent.host) for agent in releases.season.agents}
    host_of_release = np.array(
        [hosts.get(folded(text), "") for text in releases.texts("agent")], dtype=object
    )
    host_here = np.array([folded(text) for text in infestations.texts("host")], dtype=object)
    release, patch = shapely.STRtree(geometries(infestations.frame)).query(
        geometries(releases.frame), predicate="intersects"
    )
    survey = infestations.frame["survey_date"].to_numpy(dtype="datetime64[D]").astype(np.int64)
    is_dated = ~infestations.frame["survey_date"].isna().to_numpy()
    counts = (host_of_release[release] == host_here[patch]) & is_dated[patch]
    first = np.full(len(releases.frame), np.iinfo(np.int64).min)
    never = np.iinfo(np.int64).max
    earliest = np.full(len(releases.frame), never)
    np.minimum.at(earliest, release[counts], survey[patch[counts]])
    first = np.where(earliest == never, first, earliest)
    day = releases.frame["date"].to_numpy(dtype="datetime64[D]").astype(np.int64)
    return np.asarray(day < first, dtype=bool)
