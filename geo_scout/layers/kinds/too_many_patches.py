"""Infestations that would be cut into more patches than anyone can want."""

import numpy as np
import shapely

from geo_scout.layers.drafts import LayerDraft, geometries

# Our choice: 100,000 square kilometres of solid weed at the default of 5 km, and about half a minute's work.
MOST_PATCHES = 10_000
_M2_PER_HA, _M_PER_KM = 10_000.0, 1_000.0


def stop_at_too_many_patches(draft: LayerDraft) -> None:
    """Stop where outlines are so large, or the longest patch so short, that cutting would not end.

    The draft is in the working, equal-area system. An outline is halved until no part is longer than
    ``max_patch_km`` from corner to corner, so that a square of side s leaves about 2 (s / max)^2 parts.
    """
    longest_m = draft.season.rules.max_patch_km * _M_PER_KM
    shapes = geometries(draft.frame)
    area_m2, bounds = shapely.area(shapes), shapely.bounds(shapes).reshape(-1, 4)
    length_m = np.hypot(bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1])
    patches = np.where(length_m > longest_m, 2.0 * area_m2 / longest_m**2 + length_m / longest_m, 1.0)
    # Outlines within the limit are not cut, however many there are.
    number = patches[length_m > longest_m].sum()
    if number <= MOST_PATCHES:
        return
    largest = int(np.argmax(patches))
    [label] = draft.labels(np.arange(len(shapes)) == largest)
    what = (
        f"its outlines would be cut into about {number:,.0f} patches of at most {longest_m / _M_PER_KM:g} km "
        f"(rules.max_patch_km); the limit is {MOST_PATCHES:,}. The largest is {label}: "
        f"{area_m2[largest] / _M2_PER_HA:,.0f} ha, {length_m[largest] / _M_PER_KM:,.1f} km long."
    )
    fix = "Check that outline and its area, or raise max_patch_km under [rules] for a map so coarse."
    draft.say("patches-too-many", "stop", what, fix)
