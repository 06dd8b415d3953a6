import numpy as np

from geo_scout.criteria import host_around


def test_measures_hectares_within_reach_and_says_why_it_is_missing():
    best = np.array([0.0, 12.346, np.nan])
    measured = host_around.measure(
        {"host_around_ha": best, "host_around_low_ha": best, "host_around_high_ha": best}
    )
    assert measured.column("host_around") == "host_around_ha"
    assert measured.known.tolist() == [True, True, False]
    np.testing.assert_array_equal(measured.low, measured.value)
    np.testing.assert_array_equal(measured.high, measured.value)
    assert [host_around.describe(measured, index) for index in range(3)] == [
        "0.00 ha of host around, weighted by the agent's reach",
        "12.35 ha of host around, weighted by the agent's reach",
        "host around unknown: the agent's profile states no spread",
    ]


def test_the_range_is_that_of_the_cover_classes_around():
    best, low, high = np.array([5.0]), np.array([3.0]), np.array([9.5])
    measured = host_around.measure(
        {"host_around_ha": best, "host_around_low_ha": low, "host_around_high_ha": high}
    )
    assert (measured.low, measured.high) == ([3.0], [9.5])
    assert host_around.describe(measured, 0) == (
        "5.00 ha of host around, weighted by the agent's reach (3.00 to 9.50 ha by the width of the cover "
        "classes around)"
    )
