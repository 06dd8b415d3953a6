"""The nearest station by the way over the ground."""

import numpy as np
import pytest

from geo_scout.formulas.nearest_station import nearest_station

NAN = np.nan


def test_the_nearest_is_by_the_way_over_the_ground():
    """At 60 N a degree of longitude is half as long as one of latitude."""
    row, far_km = nearest_station([0.0], [60.0], [0.0, 1.2], [60.9, 60.0])
    assert row.tolist() == [1]
    assert far_km[0] == pytest.approx(66.9, abs=0.2)


def test_a_station_nobody_can_place_is_nearest_only_where_there_is_no_other():
    row, far_km = nearest_station([10.0, NAN], [47.0, 47.0], [NAN, 20.0], [47.0, 47.0])
    assert row.tolist() == [1, 0]
    assert np.isnan(far_km).tolist() == [False, True]
    assert nearest_station([10.0], [47.0], [NAN], [NAN])[0].tolist() == [0]


def test_of_equally_near_stations_the_first_is_taken():
    assert nearest_station([10.0], [47.0], [11.0, 9.0, 11.0], [47.0, 47.0, 47.0])[0].tolist() == [0]


def test_no_places():
    row, far_km = nearest_station([], [], [1.0], [2.0])
    assert (len(row), len(far_km)) == (0, 0)
