"""Surveys that overlap: the newer keeps the ground, and the area that is mapped twice is said."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.model.folded import folded
from geo_scout.model.listed import counted

# More pairs than this are not measured one by one: it would take longer than reading the layer.
_MEASURED_AT_MOST = 20_000
_LEAST_M2 = 1.0
_M2_PER_HA = 10_000.0
_FIX = {
    "infestations": "Nothing, if they are surveys of different years: the newer keeps the ground, on one day "
    "the earlier row.",
    "surveyed_areas": "Nothing, if they are surveys of different years.",
}


def check_overlaps(read: LayersRead) -> None:
    """Note how much ground two surveys of one host share."""
    for name in _FIX:
        draft = read.usable(name)
        if draft is not None and len(draft.frame) > 1:
            _say_overlaps(draft)


def _say_overlaps(draft: LayerDraft) -> None:
    one, other, is_all = _pairs(draft)
    shapes = geometries(draft.frame)
    shared_m2 = shapely.area(shapely.intersection(shapes[one], shapes[other]))
    is_shared = shared_m2 >= _LEAST_M2
    if not is_shared.any():
        return
    one, other, shared_m2 = one[is_shared], other[is_shared], shared_m2[is_shared]
    largest = int(np.argmax(shared_m2))
    names = draft.labels(np.isin(np.arange(len(shapes)), [one[largest], other[largest]]))
    least = "" if is_all else "at least "
    pairs, share = (
        counted(len(one), "pair of surveys", "pairs of surveys"),
        "shares" if len(one) == 1 else "share",
    )
    all_ha, largest_ha = shared_m2.sum() / _M2_PER_HA, shared_m2[largest] / _M2_PER_HA
    what = (
        f"{least}{pairs} of one host {share} {all_ha:,.4f} ha, the most {names[0]} and {names[1]} with "
        f"{largest_ha:,.4f} ha."
    )
    if len(one) == 1 and is_all:
        what = f"two surveys of one host, {names[0]} and {names[1]}, share {all_ha:,.4f} ha."
    draft.say("surveys-overlap", "note", what, _FIX[draft.name])


def _pairs(draft: LayerDraft) -> tuple[NDArray[np.intp], NDArray[np.intp], bool]:
    """Return pairs of rows of one host whose bounds overlap, each once, and whether that is all of them."""
    shapes = geometries(draft.frame)
    one, other = shapely.STRtree(shapes).query(shapes)
    once = one < other
    one, other = one[once], other[once]
    hosts = np.unique([folded(text) for text in draft.texts("host")], return_inverse=True)[1]
    bounds = shapely.bounds(shapes)
    # Neighbours whose bounds only touch share no ground; most pairs of a mapped county are such.
    shared_m = np.minimum(bounds[one, 2:], bounds[other, 2:]) - np.maximum(bounds[one, :2], bounds[other, :2])
    may_share = (hosts[one] == hosts[other]) & (np.prod(np.maximum(shared_m, 0.0), axis=1) >= _LEAST_M2)
    one, other = one[may_share], other[may_share]
    return one[:_MEASURED_AT_MOST], other[:_MEASURED_AT_MOST], len(one) <= _MEASURED_AT_MOST
