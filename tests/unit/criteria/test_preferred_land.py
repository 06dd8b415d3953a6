import numpy as np

from geo_scout.criteria import preferred_land


def test_measures_the_share_on_preferred_land():
    measured = preferred_land.measure({"preferred_land_pct": np.array([0.0, 37.4, 100.0])})
    assert measured.column("preferred_land") == "preferred_land_pct"
    assert measured.known.all()
    np.testing.assert_array_equal(measured.value, [0.0, 37.4, 100.0])
    assert preferred_land.describe(measured, 1) == "37 % on land the season prefers"
