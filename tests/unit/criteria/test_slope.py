import numpy as np
import pytest

from geo_scout.criteria import slope


def measure(slopes, shares, steep=None):
    steep = [np.nan] * len(slopes) if steep is None else steep
    names = ("slope_deg", "slope_valid_share", "steep_share")
    return slope.measure(
        {name: np.array(one, float) for name, one in zip(names, (slopes, shares, steep), strict=True)}
    )


def test_the_mean_slope_and_how_much_of_the_patch_it_is_of():
    measured = measure([12.34, 3.0, np.nan], [1.0, 0.62, 0.0])
    np.testing.assert_array_equal(measured.value, [12.34, 3.0, np.nan])
    assert measured.known.tolist() == [True, True, False]
    assert measured.column("slope") == "slope_deg"
    assert measured.details == {}
    assert [slope.describe(measured, at) for at in range(3)] == [
        "12.3 deg mean slope",
        "3.0 deg mean slope on the 62% of the patch that has a slope",
        "slope unknown: no slope in the elevation layer here",
    ]


def test_with_a_limit_the_steep_share_is_told():
    measured = measure([30.0], [1.0], [0.4])
    assert measured.details["steep_share"].tolist() == [0.4]
    assert slope.describe(measured, 0) == "30.0 deg mean slope, 40% of it steeper than max_slope_deg"


@pytest.mark.parametrize(
    ("share", "note"), [(0.995, ""), (0.994, "on the 99% of the patch that has a slope")]
)
def test_a_sliver_without_a_slope_is_not_told(share, note):
    assert measure([5.0], [share]).note == (note,)
