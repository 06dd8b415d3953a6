"""Patches against SciPy's hierarchical single linkage."""

import numpy as np
import pytest
import shapely
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import squareform

from geo_scout.formulas.linkage import single_linkage


@pytest.mark.parametrize("join_m", [0.0, 5.0, 15.0, 40.0, 500.0])
def test_the_same_partition_as_scipy(join_m):
    # A partition has no tolerance. scipy.cluster.hierarchy cut at the same height, on all edge distances.
    generator = np.random.default_rng(1957)
    centres = shapely.points(generator.uniform(0, 600, (80, 2)))
    shapes = shapely.buffer(centres, generator.uniform(2, 30, 80), quad_segs=3)
    distances = shapely.distance(shapes[:, None], shapes[None, :])
    expected = fcluster(
        linkage(squareform(distances, checks=False), "single"), t=join_m, criterion="distance"
    )
    found = single_linkage(shapes, join_m)
    assert (
        len(set(zip(found.tolist(), expected.tolist(), strict=True)))
        == len(set(found.tolist()))
        == len(set(expected))
    )
