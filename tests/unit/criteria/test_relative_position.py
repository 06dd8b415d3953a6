import numpy as np

from geo_scout.criteria import relative_position


def test_higher_lower_and_missing():
    measured = relative_position.measure(
        {"relative_position_m": np.array([12.34, -3.0, np.nan]), "surroundings_m": np.full(3, 500.0)}
    )
    assert measured.column("relative_position") == "relative_position_m"
    assert [relative_position.describe(measured, at) for at in range(3)] == [
        "12.3 m higher, against the ground up to 500 m around",
        "3.0 m lower, against the ground up to 500 m around",
        "relative position unknown: no elevations as far as 500 m around",
    ]
    np.testing.assert_array_equal(measured.value, [12.34, -3.0, np.nan])
