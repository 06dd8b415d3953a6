import numpy as np

from geo_scout.criteria import host_area

COLUMNS = {
    "infested_ha": np.array([2.0, 1.5, np.nan]),
    "infested_low_ha": np.array([2.0, 1.0, 0.25]),
    "infested_high_ha": np.array([2.0, 2.0, 4.0]),
}


def test_measures_hectares_with_the_range_of_the_cover_classes():
    measured = host_area.measure(COLUMNS)
    assert measured.unit == "ha"
    assert measured.column("host_area") == "host_area_ha"
    np.testing.assert_array_equal(measured.value, [2.0, 1.5, np.nan])
    np.testing.assert_array_equal(measured.low, [2.0, 1.0, 0.25])
    np.testing.assert_array_equal(measured.high, [2.0, 2.0, 4.0])
    assert measured.known.tolist() == [True, True, False]
    assert measured.note == ("", "", "cover is unknown for part of the patch")


def test_describes_exact_classed_and_unknown_areas():
    measured = host_area.measure(COLUMNS)
    assert [host_area.describe(measured, index) for index in range(3)] == [
        "2.00 ha infested",
        "1.50 ha infested (1.00 to 2.00 ha by the width of its cover classes)",
        "infested area unknown, 0.25 to 4.00 ha: cover is unknown for part of the patch",
    ]
