import numpy as np

from geo_scout.criteria import population_distance


def test_measures_kilometres_and_says_why_they_are_missing():
    measured = population_distance.measure({"population_distance_km": np.array([0.0, 3.21, np.nan])})
    assert measured.column("population_distance") == "population_distance_km"
    assert measured.known.tolist() == [True, True, False]
    assert [population_distance.describe(measured, index) for index in range(3)] == [
        "0.0 km from the nearest confirmed population",
        "3.2 km from the nearest confirmed population",
        "distance to a population unknown: no population is confirmed in the season's records",
    ]
