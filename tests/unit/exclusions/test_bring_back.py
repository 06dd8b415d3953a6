import pytest

from geo_scout.exclusions.bring_back import just_above, just_below


@pytest.mark.parametrize(
    ("value", "decimals", "below", "above"),
    [
        (0.19996, 4, 0.1999, 0.2),
        (0.20004, 4, 0.2, 0.2001),
        (0.29, 4, 0.29, 0.29),
        (1.0, 2, 1.0, 1.0),
        (-12.345, 2, -12.35, -12.34),
        (0.0, 3, 0.0, 0.0),
    ],
)
def test_the_number_lies_on_the_side_that_brings_the_site_back(value, decimals, below, above):
    assert (just_below(value, decimals), just_above(value, decimals)) == (below, above)
