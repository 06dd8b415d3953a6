import numpy as np

from geo_scout.criteria import host_around


def test_measures_hectares_within_reach_and_says_why_it_is_missing():
    measured = host_around.measure({"host_around_ha": np.array([0.0, 12.346, np.nan])})
    assert measured.column("host_around") == "host_around_ha"
    assert measured.known.tolist() == [True, True, False]
    np.testing.assert_array_equal(measured.low, measured.value)
    np.testing.assert_array_equal(measured.high, measured.value)
    assert [host_around.describe(measured, index) for index in range(3)] == [
        "0.00 ha of host around, weighted by the agent's reach",
        "12.35 ha of host around, weighted by the agent's reach",
        "host around unknown: the agent's profile states no spread",
    ]
