"""Visits whose result and count say two different things."""

import numpy as np

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import Why

FOUND_NONE = Why(
    "visit-found-none",
    "",
    "Correct the result or the count; leave the count blank where only a sign was seen.",
    is_bad=False,
)
COUNTED = Why("visit-counted-not-found", "", "Correct the result or the count.", is_bad=False)


def check_contradictory(read: LayersRead) -> None:
    """Caution on visits that found the agent and counted none, or counted some and found none.

    Neither is changed: the result is what counts. A blank count says nothing.
    """
    visits = read.usable("visits")
    if visits is None:
        return
    found = visits.frame["found"].to_numpy(dtype=bool)
    count = visits.frame["count"].to_numpy(dtype=np.float64)
    none = found & (count == 0.0)
    what = "the result is found, and the count is 0; it counts as a find."
    remark_first(visits, none, FOUND_NONE, what)
    some = ~found & (count > 0.0)
    sentences = [
        f"the result is not found, and the count is {number:g}; it counts as a visit that found nothing."
        for number in count[some]
    ]
    remark_first(visits, some, COUNTED, sentences)
