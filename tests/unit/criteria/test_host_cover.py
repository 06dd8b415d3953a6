import numpy as np

from geo_scout.criteria import host_cover

COLUMNS = {
    "cover_pct": np.array([62.5, 38.0, np.nan]),
    "cover_low_pct": np.array([62.5, 25.0, 10.0]),
    "cover_high_pct": np.array([62.5, 50.0, 100.0]),
}


def test_measures_percent_with_the_range_of_the_cover_classes():
    measured = host_cover.measure(COLUMNS)
    assert measured.column("host_cover") == "host_cover_pct"
    np.testing.assert_array_equal(measured.value, [62.5, 38.0, np.nan])
    np.testing.assert_array_equal(measured.low, [62.5, 25.0, 10.0])
    np.testing.assert_array_equal(measured.high, [62.5, 50.0, 100.0])
    assert measured.known.tolist() == [True, True, False]


def test_describes_known_classed_and_unknown_cover():
    measured = host_cover.measure(COLUMNS)
    assert [host_cover.describe(measured, index) for index in range(3)] == [
        "62 % canopy cover",
        "38 % canopy cover (25 to 50 % by the width of its cover classes)",
        "canopy cover unknown, 10 to 100 %: cover is unknown for part of the patch",
    ]
