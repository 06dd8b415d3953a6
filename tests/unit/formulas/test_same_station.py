"""A degree of latitude at 47 degrees is 111.2 km: 0.0008 degrees are 89 m, 0.001 degrees 111 m."""

import numpy as np
import pytest

from geo_scout.formulas.same_station import same_station


@pytest.mark.parametrize(
    ("place", "found"),
    [
        ((-110.0, 47.0, 1000.0), 0),
        ((-110.0, 47.0008, 1000.0), 0),
        ((-110.0, 47.001, 1000.0), None),
        ((250.0, 47.0, 1000.0), 0),
        ((-110.0, 47.0, 1000.9), 0),
        ((-110.0, 47.0, 1002.0), 1),
        ((-110.0, 47.0, 1050.0), None),
        ((-110.0, 47.0, np.nan), 0),
        ((np.nan, 47.0, 1000.0), None),
    ],
)
def test_the_same_spot_is_within_a_hundred_metres_and_a_metre_of_height(place, found):
    others = np.array([[-110.0, -110.0], [47.0, 47.0], [1000.0, 1002.5]])
    assert same_station(*place, *others) == found


def test_there_may_be_no_other():
    assert same_station(-110.0, 47.0, 1000.0, [], [], []) is None
