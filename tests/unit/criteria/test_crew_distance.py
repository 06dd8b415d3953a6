import numpy as np

from geo_scout.criteria import crew_distance


def test_measures_kilometres_and_says_they_are_straight():
    measured = crew_distance.measure({"crew_distance_km": np.array([0.0, 12.34])})
    assert measured.column("crew_distance") == "crew_distance_km"
    assert measured.known.tolist() == [True, True]
    np.testing.assert_array_equal(measured.value, [0.0, 12.34])
    assert (
        crew_distance.describe(measured, 1)
        == "12.3 km from the nearest crew base to its edge, as the crow flies"
    )


def test_without_a_base_it_is_missing():
    measured = crew_distance.measure({"crew_distance_km": np.array([np.nan])})
    assert measured.known.tolist() == [False]
    assert crew_distance.describe(measured, 0) == "distance to a crew base unknown: no crew base"
