"""Releases that look entered twice under two ids."""

import numpy as np
import pandas as pd

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import Why
from geo_scout.layers.kinds.duplicates import alike_groups
from geo_scout.layers.kinds.point_records import agents_of, days_of, pairs_of_one_place, uncertainty_m

TWICE = Why(
    "release-twice",
    "",
    "Take one of the two out if they are one release; each counts as a release of its own until then.",
    is_bad=False,
)


def check_releases_twice(read: LayersRead) -> None:
    """Caution on releases of one agent, day and number that lie within the uncertainty of their positions.

    Records alike in place and in every value are told as such already.
    """
    releases = read.usable("releases")
    if releases is None:
        return
    unsure_m, agent, day = uncertainty_m(releases), agents_of(releases), days_of(releases)
    keys = pd.DataFrame({"agent": agent, "day": day.astype(np.int64), "number": releases.frame["number"]})
    group = keys.groupby(list(keys.columns), sort=False, dropna=False).ngroup().to_numpy()
    rows = np.flatnonzero(np.bincount(group)[group] > 1)
    if not len(rows):
        return
    one, other, gap_m = pairs_of_one_place(releases, rows, releases)
    same = (group[one] == group[other]) & (other < one)
    alike = alike_groups(releases)
    same &= alike[one] != alike[other]
    one, other, gap_m = one[same], other[same], gap_m[same]
    order = np.lexsort((other, gap_m, one))
    rows, first = np.unique(one[order], return_index=True)
    ids = releases.texts("release_id")
    twice = np.zeros(len(releases.frame), dtype=bool)
    twice[rows] = True
    sentences = [
        f"it may be release {ids[of]} once more: the same agent, day and number, {apart:,.0f} m apart, "
        f"and the two positions may be {unsure:,.0f} m off."
        for of, apart, unsure in zip(
            other[order][first].tolist(),
            gap_m[order][first].tolist(),
            (unsure_m[one] + unsure_m[other])[order][first].tolist(),
            strict=True,
        )
    ]
    remark_first(releases, twice, TWICE, sentences)
