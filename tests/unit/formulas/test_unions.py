"""Unions by label."""

import numpy as np
import shapely

from geo_scout.formulas.unions import union_by_label


def test_union_by_label_follows_the_sorted_labels():
    shapes = np.array([shapely.box(w, 0, w + 10, 10) for w in (0, 100, 5, 200)], dtype=object)
    union = union_by_label(shapes, np.array(["b", "c", "b", "a"], dtype=object))
    assert [one.area for one in union] == [100, 150, 100]
    assert union[0] is shapes[3]
    assert union_by_label(shapes[:0], np.array([], dtype=object)).shape == (0,)
